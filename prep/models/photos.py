"""Pictures. The log holds their digest; the file is in the storage."""

from uuid import uuid4

from django.db import models

from prep.models.units import Unit


class Photo(models.Model):
    """A picture attached to a line of a unit's sheet, or of a sheet filled in by hand."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="photos")
    file = models.FileField(upload_to="photos/")
    digest = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"{self.unit_id}: {self.file}"
