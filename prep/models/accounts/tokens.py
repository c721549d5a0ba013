"""Tokens by which programs, and people through them, send requests to the API."""

from django.db import models

from prep.models.accounts.devices import Device
from prep.models.fields import Line
from prep.models.people import Person
from prep.models.sites import Site
from prep.record.log.envelope import moment
from prep.record.token.scopes import EVERY, Access, Scope


class Token(models.Model):
    """A token: of a program, issued by an event; or of a sign-in, of which no event tells.

    Of its secret there is only the SHA-256. `fingerprint` is of all that the row says of whose it
    is and what it is for, under a key that is not in the database: a row put here, or changed, by
    anybody else lets nobody in. One of a sign-in on a `device` of a yard takes that device's key as
    well, and ends with it. `used` is when it was last used, to the hour.
    """

    id = models.UUIDField(primary_key=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="tokens")
    signed_in = models.BooleanField(default=False)
    device = models.ForeignKey(Device, models.PROTECT, null=True, related_name="tokens")
    name = Line(max_length=60, blank=True)
    hint = Line(max_length=20)
    scopes = models.JSONField(default=list)
    site = models.ForeignKey(Site, models.PROTECT, null=True, related_name="tokens")
    digest = Line(max_length=64, unique=True)
    fingerprint = Line(max_length=80)
    issued = models.DateTimeField()
    expires = models.DateTimeField()
    used = models.DateTimeField(null=True)
    revoked = models.DateTimeField(null=True)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["issued", "id"], name="token_by_age")]

    def __str__(self) -> str:
        return f"{self.name or self.hint}: {self.person}"

    def said(self) -> str:
        """What the row says, as its fingerprint is made of it.

        A sign-in ends with the password it was made with.
        """
        parts = (
            self.digest,
            self.site_id or "",
            moment(self.expires),
            *sorted(self.scopes),
            str(self.device_id or ""),
            self.person.get_session_auth_hash() if self.signed_in else "",
        )
        return " ".join(parts)

    def access(self) -> Access:
        """What its bearer is let in for."""
        return Access(
            scopes=EVERY if self.signed_in else frozenset(map(Scope, self.scopes)),
            site=self.site_id or "",
            token=str(self.pk),
            signed_in=self.signed_in,
            system=self.person.system_at_id is not None,
        )
