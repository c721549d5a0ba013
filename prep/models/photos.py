"""Photos. The log holds their digests, the storage their files."""

from uuid import uuid4

from django.db import models

from prep.models.units import Unit


class Photo(models.Model):
    """A photo of a line of a sheet, of a plate, or of a page filled in by hand.

    `digest` and `small` are the SHA-256, in hex, of the picture as it is kept and of its small
    copy; their files are named by them. One that shows `people` is personal. Once `erased` its
    files are gone, or about to go.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="photos")
    digest = models.CharField(max_length=64, db_index=True)
    small = models.CharField(max_length=64, db_index=True)
    people = models.BooleanField(default=False)
    erased = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.unit_id}: {self.digest}"


class PendingFile(models.Model):
    """A file that somebody is about to store; the transaction that keeps it deletes this row."""

    intent = models.UUIDField(db_index=True)
    name = models.CharField(max_length=120, db_index=True)
    stated = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["intent", "name"], name="pending_file_once"),
        ]

    def __str__(self) -> str:
        return f"{self.intent}: {self.name}"
