"""The streams of instruments."""

from uuid import UUID

import msgspec

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Instrument, Person
from prep.queries.people import roles_at
from prep.record.command import Command, permit
from prep.record.instrument.commands import MoveInstrument, RecordInstrument, not_of_this_yard
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.refusal import Refusal


class InstrumentStream(ReferenceStream):
    """A measuring tool."""

    name = "instrument"
    table = Instrument

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The code on its label."""
        assert isinstance(command, RecordInstrument)
        return command.instrument.code

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the yard the instrument is at; one that moves asks for them at both yards.

        The yard on record decides, not the one in the command: otherwise one yard could take
        another's instrument. Whether it moved meanwhile, the decision sees under the lock.
        """
        if isinstance(command, MoveInstrument):
            return self._standing_at_both(person, target, command)
        assert isinstance(command, RecordInstrument)
        at = self._site(command.instrument.code)
        standing = roles_at_named_site(person, command.site)
        if at and at != command.site:
            permit(type(command), standing.roles)
            raise not_of_this_yard(command.instrument.code)
        return standing

    def _standing_at_both(self, person: Person, target: str, command: MoveInstrument) -> Standing:
        at = self._site(target)
        try:
            standing = roles_at_named_site(person, at)
        except Refusal:
            raise Refusal("no-such-instrument", instrument=target) from None
        permit(type(command), standing.roles)
        there = frozenset(roles_at(person, command.to))
        if not there:
            raise Refusal("no-such-site", field="to")
        permit(type(command), there, command.to)
        return standing

    def _site(self, code: str) -> str:
        """The yard an instrument is at; empty where there is none."""
        known = Instrument.objects.filter(pk=code).values_list("site_id", flat=True)
        return known.first() or ""

    def site_of(self, target: str, command: Command) -> str:
        """The yard on record; that of the command for a new instrument."""
        assert isinstance(command, RecordInstrument | MoveInstrument)
        return self._site(target) or command.site

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the instrument's row."""
        super().apply(loaded, change)
        event: InstrumentRecorded | InstrumentMoved = loaded.state
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
