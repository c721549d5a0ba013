"""Personal data of buyers, kept outside the log so that it can be erased.

The log holds a reference and a salted digest. With the row here the digest proves the name; when
the row is erased the log still proves that a handover took place.
"""

from uuid import uuid4

from django.db import models

from prep.models.fields import Line
from prep.models.salted import salted_digest
from prep.models.sites import Site


class Particulars(models.Model):
    """Contact details of a buyer, as a reference in the log stands for them."""

    name = Line(max_length=200)
    address = models.TextField(blank=True)
    phone = Line(max_length=60, blank=True)
    email = models.EmailField(blank=True)
    salt = Line(max_length=64)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name

    def digest(self) -> str:
        """Salted SHA-256 of the details, in hex, as the log's reference has it."""
        return salted_digest(self.salt, [self.name, self.address, self.phone, self.email])


class Buyer(Particulars):
    """Somebody a unit is sold to. `held` is why the details must be kept, empty for no hold."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, models.PROTECT, related_name="buyers")
    erased = models.DateTimeField(null=True)
    held = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["name", "id"], name="buyer_by_name")]


class FormerParticulars(Particulars):
    """A buyer's details as they were before a command corrected them, oldest first by id.

    They prove what was signed while they were current, and are erased with the buyer.
    """

    buyer = models.ForeignKey(Buyer, models.PROTECT, related_name="former")
