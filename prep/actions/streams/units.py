"""The streams of units."""

from datetime import datetime
from uuid import UUID

import msgspec

from prep.actions.beside_the_log.erasure import erase_of_unit
from prep.actions.index_rows import write_rows
from prep.actions.locks import lock
from prep.actions.streams.ids import NamedById
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Cause, Change, Loaded, Standing, Stream
from prep.models import Person, Photo, Unit
from prep.queries.people import memberships
from prep.queries.records import Happening, fold_history, history
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.unit import events as e
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.events.erasure import PersonalErased
from prep.record.unit.events.identity import PhotoMarked
from prep.record.unit.fold import evolve
from prep.record.unit.state import Named, Record, Stamp
from prep.record.unit.views.index_rows import rows


class LoadedUnit(Loaded):
    """A unit's record with the history it was folded from."""

    history: list[Happening]


class UnitStream(NamedById, Stream):
    """A unit: folded from its whole history, and indexed in several tables."""

    name = "unit"
    names = UUID("6f1d2f6a-7a0e-4b5e-9c1b-0f6f3a1d5b11")

    def unknown(self) -> Refusal:
        """No unit has the id, or none of a yard where the person is somebody."""
        return Refusal("no-such-unit")

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The unit's site and the person's roles there. One query."""
        if isinstance(command, ReceiveUnit):
            return roles_at_named_site(person, command.site)
        held = memberships(person).filter(site__units=self.key(target))
        roles = list(held.values_list("site_id", "role", "site__time_zone"))
        if not roles:
            raise self.unknown()
        return Standing(roles[0][0], frozenset(Role(role) for _, role, _ in roles), roles[0][2])

    def site_of(self, target: str, command: Command) -> str:
        """The unit's site."""
        site = Unit.objects.filter(pk=self.key(target)).values_list("site_id", flat=True).first()
        if site is None:
            raise self.unknown()
        return site

    def lock(self, target: str, command: Command) -> None:
        """Lock the unit's row; one that is being received has none yet.

        Two that are joined are locked in the order of their ids.
        """
        joined = {command.joined} if isinstance(command, JoinUnit) else set()
        for unit in sorted({self.key(target), *joined}):
            lock_unit(unit, missing_allowed=command.creates)

    def load(self, target: str, version: int | None = None) -> LoadedUnit:
        """The record folded from the log."""
        past = history(self.key(target), version=version)
        record = fold_history(past)
        loaded = LoadedUnit(record, record.version, record.recorded)
        loaded.history = past
        return loaded

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Fold the new events into the record, and write the rows that differ."""
        record: Record = loaded.state
        context, who = change.context, change.context.actor
        before = rows(record) if record.version else None
        for event in change.events:
            version = record.version + 1
            named = Named(context.named.id, context.named.name) if context.named else None
            stamp = Stamp(who.id, who.name, context.happened, context.recorded, version, named)
            evolve(record, stamp, event)  # type: ignore[arg-type]  # an event of a unit
            if isinstance(event, PersonalErased):
                erase_of_unit(event, context.recorded)
            if isinstance(event, PhotoMarked):
                Photo.objects.filter(pk=event.photo).update(people=event.people)
        after = rows(record)
        if isinstance(change.command, ReceiveUnit):
            Unit(id=self.key(change.target), site_id=change.site, **after.unit).save(
                force_insert=True
            )
        write_rows(self.key(change.target), change.site, before, after)
        loaded.version, loaded.recorded = record.version, record.recorded

    def begun(self, target: str, loaded: Loaded) -> datetime | None:
        """From the history that is loaded already."""
        assert isinstance(loaded, LoadedUnit)
        return loaded.history[0].stamp.happened if loaded.history else None

    def decode(self, body: str) -> msgspec.Struct:
        """An event of a unit."""
        return e.decode(body)

    def caused_by(self, loaded: LoadedUnit, command_id: UUID) -> Cause | None:
        """As `caused`, from the history that is loaded already."""
        done = [happening for happening in loaded.history if happening.command == command_id]
        if not done:
            return None
        events = [happening.event for happening in done]
        return Cause(done[0].stamp.actor, done[0].request, done[-1].stamp.version, events)


def lock_unit(unit: UUID, *, missing_allowed: bool = False) -> Unit | None:
    """The unit's row, locked until the transaction ends; Refusal where there is none."""
    row = lock(Unit, unit)
    if row is None and not missing_allowed:
        raise Refusal("no-such-unit")
    return row
