"""Guests: who from outside may look at which units, and until when."""

from django.db import models

from prep.models.fields import Line
from prep.models.salted import salted_digest
from prep.models.sites import Site


class Guest(models.Model):
    """A guest of a yard. The name is personal, so the log has a salted digest of it.

    `opened` is when the link was used: it works once. Once `erased` the name is gone.
    """

    id = models.UUIDField(primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="guests")
    name = Line(max_length=200)
    salt = Line(max_length=64)
    organization = Line(max_length=120)
    units = models.JSONField()
    why = models.TextField()
    until = models.DateTimeField()
    ended = models.DateTimeField(null=True)
    opened = models.DateTimeField(null=True)
    erased = models.DateTimeField(null=True)
    version = models.PositiveIntegerField()

    class Meta:
        indexes = [models.Index(fields=["until", "id"], name="guest_by_until")]

    def __str__(self) -> str:
        return self.name

    def digest(self) -> str:
        """Salted SHA-256 of the name, in hex."""
        return salted_digest(self.salt, [self.name])
