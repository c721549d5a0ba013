"""Accounts of people, rebuilt from their streams, and what stands beside the log: secrets, contact,
the numbers of cards."""

from uuid import uuid4

from django.contrib.auth.hashers import check_password
from django.contrib.auth.models import AbstractUser
from django.db import models

from prep.models.fields import Line
from prep.models.salted import salted_digest
from prep.record.person.state import Status


class Person(AbstractUser):
    """An account. `pin` is the hash of the PIN that is asked for at every sign-off.

    `status` says whether it opens, and why not; `is_active` is what the framework asks. E-mail and
    phone are personal data, so the log has a salted digest of them.
    """

    first_name = None  # type: ignore[assignment]  # one printed name serves every name order
    last_name = None  # type: ignore[assignment]
    printed_name = Line(max_length=120)
    pin = Line(max_length=200, blank=True)
    status = Line(max_length=10, default=Status.ACTIVE.value)
    language = Line(max_length=8, default="en")
    units = Line(max_length=8, default="us")
    decimal_comma = models.BooleanField(null=True)
    phone = Line(max_length=60, blank=True)
    contact_salt = Line(max_length=64, blank=True)

    REQUIRED_FIELDS = ["printed_name"]

    class Meta(AbstractUser.Meta):
        indexes = [models.Index(fields=["printed_name", "id"], name="person_by_name")]

    def __str__(self) -> str:
        return self.printed_name or self.username

    def check_password(self, raw_password: str | None) -> bool:
        """Whether this is the password. Its hash is not renewed on the way, as the base class does:
        the log knows every hash that stands here."""
        return check_password(raw_password, self.password)

    def get_full_name(self) -> str:
        """The printed name; the base class would join the columns that this one lacks."""
        return str(self)

    def contact(self) -> str:
        """Salted digest of e-mail and phone, in hex; empty where neither is known."""
        if not (self.email or self.phone):
            return ""
        return salted_digest(self.contact_salt, [self.email, self.phone])


class Card(models.Model):
    """A training card of a person; its number is personal data."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    person = models.ForeignKey(Person, models.PROTECT, related_name="cards")
    kind = Line(max_length=30)
    manufacturer = Line(max_length=60, blank=True)
    number = Line(max_length=60, blank=True)
    valid_until = models.DateField()
    withdrawn = models.BooleanField(default=False)
    salt = Line(max_length=64)

    class Meta:
        indexes = [models.Index(fields=["valid_until", "id"], name="card_by_end")]

    def __str__(self) -> str:
        return f"{self.person}: {self.kind} until {self.valid_until}"

    def digest(self) -> str:
        """Salted SHA-256 of the number, in hex."""
        return salted_digest(self.salt, [self.number])
