"""The streams of guests. Their names are rows beside the log."""

from datetime import datetime
from typing import Any
from uuid import UUID

from prep.actions.beside_the_log.guests import erase_name
from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Guest, Person
from prep.queries.people import roles_at
from prep.record.command import Command
from prep.record.guest.commands import AdmitGuest
from prep.record.guest.events import GuestEnded, GuestErased
from prep.record.refusal import Refusal


class GuestStream(NamedById, ReferenceStream):
    """Somebody from outside who looks at named units."""

    name = "guest"
    table = Guest
    names = UUID("5f9b8f0a-1c44-4d8e-9a55-7b1c7d2f60e3")

    def unknown(self) -> Refusal:
        """No guest has the id, or none of a yard where the person is somebody."""
        return Refusal("no-such-guest")

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the guest's yard. Two queries."""
        if isinstance(command, AdmitGuest):
            return roles_at_named_site(person, command.site)
        site = self.site_of(target, command)
        roles = frozenset(roles_at(person, site))
        if not roles:
            raise self.unknown()
        return Standing(site, roles)

    def site_of(self, target: str, command: Command) -> str:
        """The guest's yard."""
        if isinstance(command, AdmitGuest):
            return command.site
        known = Guest.objects.filter(pk=self.key(target)).values_list("site_id", flat=True)
        site = known.first()
        if site is None:
            raise self.unknown()
        return site

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write what the event says; the name was stored with the fact."""
        super().apply(loaded, change)
        event, values = loaded.state, dict[str, Any]()
        if isinstance(event, GuestErased):
            erase_name(self.key(change.target), change.context.recorded)
        elif isinstance(event, GuestEnded):
            values = {"ended": change.context.recorded}
        else:
            values = {
                "organization": event.organization,
                "units": list(event.units),
                "why": event.why,
                "until": datetime.fromisoformat(event.until),
            }
        Guest.objects.filter(pk=self.key(change.target)).update(**values, version=loaded.version)
