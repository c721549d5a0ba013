"""The streams of instruments."""

from uuid import UUID

import msgspec

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Instrument, Person
from prep.record.command import Command, permit
from prep.record.instrument.commands import RecordInstrument
from prep.record.instrument.events import InstrumentRecorded


class InstrumentStream(ReferenceStream):
    """A measuring tool."""

    name = "instrument"
    table = Instrument

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The code on its label."""
        assert isinstance(command, RecordInstrument)
        return command.instrument.code

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the instrument's site; one that moves asks for them at both sites.

        The stored site decides, not the one in the command: otherwise one yard could take
        another's instrument.
        """
        assert isinstance(command, RecordInstrument)
        code = command.instrument.code
        site = Instrument.objects.filter(pk=code).values_list("site_id", flat=True).first()
        if site is not None and site != command.site:
            permit(type(command), roles_at_named_site(person, site).roles)
        return roles_at_named_site(person, command.site)

    def site_of(self, target: str, command: Command) -> str:
        """The site in the command."""
        assert isinstance(command, RecordInstrument)
        return command.site

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the instrument's row."""
        super().apply(loaded, change)
        event: InstrumentRecorded = loaded.state
        Instrument.objects.update_or_create(
            code=change.target,
            defaults={
                "site_id": event.site,
                "kind": event.facts.kind,
                "name": event.facts.name,
                "due": event.facts.due,
                "out_of_service": event.facts.out_of_service,
                "version": loaded.version,
                "facts": msgspec.to_builtins(event.facts),
            },
        )
