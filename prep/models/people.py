"""People, the yards they work in, and the roles they hold there."""

from django.contrib.auth.models import AbstractUser
from django.db import models

from prep.models.fields import Line
from prep.record.roles import Role


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


class Site(models.Model):
    """A yard of the dealership. Index of the site's stream."""

    code = Line(max_length=20, primary_key=True)
    name = Line(max_length=120)
    dealer = Line(max_length=120)
    time_zone = Line(max_length=60)
    version = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
    """A role a person holds at a site. Index of the site's stream."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="memberships")
    person = models.ForeignKey(Person, models.PROTECT, related_name="memberships")
    role = Line(max_length=20, choices=[(role.value, role.value) for role in Role])

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "person", "role"], name="membership_once"),
            models.CheckConstraint(
                condition=models.Q(role__in=[role.value for role in Role]),
                name="membership_role_known",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.role} at {self.site_id}"


class AttemptedPin(models.Model):
    """Wrong PINs in a row, so that guessing at a shared tablet stops."""

    person = models.OneToOneField(Person, models.CASCADE, primary_key=True)
    failures = models.PositiveSmallIntegerField(default=0)
    last = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.person_id}: {self.failures}"
