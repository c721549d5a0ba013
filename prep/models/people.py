"""People who sign in and sign."""

from django.contrib.auth.models import AbstractUser
from django.db import models

from prep.models.fields import Line


class Person(AbstractUser):
    """Somebody who signs in. `pin` is the hash of the second secret asked for at every sign-off."""

    first_name = None  # type: ignore[assignment]  # one printed name serves every name order
    last_name = None  # type: ignore[assignment]
    printed_name = Line(max_length=120)
    pin = Line(max_length=200, blank=True)
    language = Line(max_length=8, default="en")
    decimal_comma = models.BooleanField(null=True)

    REQUIRED_FIELDS = ["printed_name"]

    def __str__(self) -> str:
        return self.printed_name or self.username

    def get_full_name(self) -> str:
        """The name as it is printed beside a signature."""
        return str(self)


class AttemptedPin(models.Model):
    """Wrong PINs in a row, so that guessing at a shared tablet stops."""

    person = models.OneToOneField(Person, models.CASCADE, primary_key=True)
    failures = models.PositiveSmallIntegerField(default=0)
    last = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.person_id}: {self.failures}"
