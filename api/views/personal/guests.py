"""Endpoint of one guest."""

from datetime import datetime
from uuid import UUID

import msgspec
from django.conf import settings

from api.operations import View, reads
from prep.actions.beside_the_log.guests import goes_on, secret_of
from prep.actions.readings.personal import How, Shown, show
from prep.queries.people import roles_at, sites_of
from prep.queries.personal.guests import guest_at
from prep.record.guest.commands import AdmitGuest
from prep.record.personal import Personal
from prep.record.token.scopes import PERSONAL


class ShownGuest(msgspec.Struct, frozen=True, kw_only=True):
    """A guest. `link` opens the visit once; it is empty once it was used, or where the visit is
    over, and for whoever may not admit guests. Once `erased` nothing is left of the name."""

    id: UUID
    site: str
    name: str
    organization: str
    units: list[UUID]
    why: str
    until: datetime
    ended: datetime | None
    opened: datetime | None
    erased: datetime | None
    link: str


class GuestView(View):
    """One guest."""

    tag = "guests"
    reading = PERSONAL

    @reads
    def get(self, guest: UUID) -> ShownGuest:
        """Look at a guest. That you did is noted."""
        found = guest_at(guest, sites_of(self.person))
        roles = frozenset(roles_at(self.person, found.site_id))
        shown = Shown(Personal.GUEST, How.API, [found.site_id], str(found.pk))
        show(self.person, roles, [Personal.GUEST], shown)
        unused = goes_on(found) and found.opened is None
        may_admit = bool(roles & AdmitGuest.permission.roles)
        address = f"{settings.ADDRESS}/visit/{found.pk}/{secret_of(found.pk)}"
        return ShownGuest(
            id=found.pk,
            site=found.site_id,
            name=found.name,
            organization=found.organization,
            units=[UUID(one) for one in found.units],
            why=found.why,
            until=found.until,
            ended=found.ended,
            opened=found.opened,
            erased=found.erased,
            link=address if unused and may_admit else "",
        )
