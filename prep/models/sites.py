"""Sites of the dealership and the roles people hold there, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line
from prep.models.people import Person
from prep.models.salted import salted_digest
from prep.record.roles import Role


class Site(models.Model):
    """A site: one yard of the dealership."""

    code = Line(max_length=20, primary_key=True)
    name = Line(max_length=120)
    dealer = Line(max_length=120)
    time_zone = Line(max_length=60)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["name", "code"], name="site_by_name")]

    def __str__(self) -> str:
        return self.name


class CheckpointKeeper(models.Model):
    """An address outside that gets the log's checkpoint once a day, and may show it years later.

    It is personal data, so the log has a salted digest of it.
    """

    id = models.UUIDField(primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="keepers")
    email = models.EmailField()
    language = Line(max_length=8)
    salt = Line(max_length=64)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["site", "email"], name="keeper_once")]

    def __str__(self) -> str:
        return self.email

    def digest(self) -> str:
        """Salted SHA-256 of the address, in hex."""
        return salted_digest(self.salt, [self.email])


class Membership(models.Model):
    """A role a person holds at a site."""

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
        indexes = [models.Index(fields=["site", "role", "id"], name="membership_by_site")]

    def __str__(self) -> str:
        return f"{self.person}: {self.role} at {self.site_id}"
