"""Sites of the dealership and the roles people hold there, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line
from prep.models.people import Person
from prep.models.salted import salted_digest
from prep.record.roles import Role


class Site(models.Model):
    """A site: one yard of the dealership. `logo` is the SHA-256 of the file it prints now."""

    code = Line(max_length=20, primary_key=True)
    name = Line(max_length=120)
    dealer = Line(max_length=120)
    time_zone = Line(max_length=60)
    street = Line(max_length=120, blank=True)
    place = Line(max_length=120, blank=True)
    region = Line(max_length=120, blank=True)
    postal_code = Line(max_length=20, blank=True)
    country = Line(max_length=2, blank=True)
    phone = Line(max_length=60, blank=True)
    email = Line(max_length=254, blank=True)
    web = Line(max_length=200, blank=True)
    hours = models.JSONField(default=list)
    holidays = models.JSONField(default=dict)
    letterhead = models.JSONField(default=list)
    logo = Line(max_length=64, blank=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["name", "code"], name="site_by_name")]

    def __str__(self) -> str:
        return self.name


class LogoFile(models.Model):
    """A picture that stands, or stood, on a site's documents, and its small copy, by SHA-256.

    Two yards may have the same one. It stays for the documents that have it.
    """

    digest = Line(max_length=64, primary_key=True)
    small = Line(max_length=64, db_index=True)

    def __str__(self) -> str:
        return self.digest


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
