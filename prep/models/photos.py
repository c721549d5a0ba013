"""Photos. The log holds their digests, the storage their files."""

from uuid import uuid4

from django.db import models

from prep.models.units import Unit


class Photo(models.Model):
    """A photo of a line of a sheet, or of a page filled in by hand. `digest` is SHA-256 in hex."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="photos")
    file = models.FileField(upload_to="photos/")
    digest = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"{self.unit_id}: {self.file}"
