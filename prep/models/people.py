"""Accounts of people."""

from django.contrib.auth.hashers import check_password
from django.contrib.auth.models import AbstractUser
from django.db import models

from prep.models.fields import Line
from prep.record.token.scopes import FULL, Access


class Person(AbstractUser):
    """An account. `pin` is the hash of the PIN that is asked for at every sign-off.

    One with `system_at` is no person but a program of that yard: it has neither password nor PIN.
    `access` is what a request was let in for; only a token narrows it.
    """

    first_name = None  # type: ignore[assignment]  # one printed name serves every name order
    last_name = None  # type: ignore[assignment]
    printed_name = Line(max_length=120)
    pin = Line(max_length=200, blank=True)
    language = Line(max_length=8, default="en")
    decimal_comma = models.BooleanField(null=True)
    system_at = models.ForeignKey("prep.Site", models.PROTECT, null=True, related_name="systems")
    access: Access = FULL

    REQUIRED_FIELDS = ["printed_name"]

    def __str__(self) -> str:
        return self.printed_name or self.username

    def check_password(self, raw_password: str | None) -> bool:
        """Whether this is the password. Its hash is not renewed on the way, as the base class does:
        the log knows every hash that stands here."""
        return check_password(raw_password, self.password)

    def get_full_name(self) -> str:
        """The printed name; the base class would join the columns that this one lacks."""
        return str(self)
