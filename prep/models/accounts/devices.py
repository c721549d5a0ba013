"""Index of the devices of a yard, rebuilt from their streams but for their keys."""

from django.db import models

from prep.models.fields import Line
from prep.models.sites import Site


class Device(models.Model):
    """A tablet or computer of a yard, enrolled so that people may switch on it by PIN.

    Of its key only the digest is kept. `contact` is when it was last heard of, `unsent` how many
    entries it then said were waiting on it.
    """

    id = models.UUIDField(primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="devices")
    name = Line(max_length=60)
    key_digest = Line(max_length=64)
    enrolled = models.DateTimeField()
    enrolled_by = Line(max_length=120)
    revoked = models.DateTimeField(null=True)
    contact = models.DateTimeField(null=True)
    unsent = models.PositiveIntegerField(null=True)
    version = models.PositiveIntegerField()

    class Meta:
        indexes = [
            models.Index(fields=["name", "id"], name="device_by_name"),
            models.Index(fields=["site", "name", "id"], name="device_of_site_by_name"),
        ]

    def __str__(self) -> str:
        return self.name
