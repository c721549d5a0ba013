"""Personal data of handovers, kept outside the log so that it can be erased."""

from django.db import models

from prep.models.fields import Line
from prep.models.salted import salted_digest


class Recipient(models.Model):
    """Who received a unit; `handover` is the handover's id in the log."""

    handover = models.UUIDField(primary_key=True)
    name = Line(max_length=200)
    salt = Line(max_length=64)
    erased = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.name

    def digest(self) -> str:
        """Salted SHA-256 of the name, in hex."""
        return salted_digest(self.salt, [self.name])
