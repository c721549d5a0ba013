"""Commands on missing parts: note one, and record its arrival."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import FILLED, Count, Meta, Name, Note, Short, ShortageId
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished, unreleased
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class NoteShortage(UnitCommand, frozen=True, kw_only=True, tag="shortage.note"):
    """Note a missing part.

    `lent_to` names the unit it was taken for.
    """

    permission: ClassVar = Permission(SERVICE)
    by_author: ClassVar = True

    part: Annotated[str, Meta(max_length=120, pattern=FILLED, examples=["Chain guard, rear"])]
    count: Count = 1
    stops_release: bool = True
    expected: Short = ""
    lent_to: Name = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released."""
        unreleased(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The part is missing until it arrives."""
        return [
            e.ShortageNoted(
                str(context.command),
                self.part,
                self.count,
                self.stops_release,
                self.expected,
                self.lent_to,
            )
        ]


class RecordArrival(UnitCommand, frozen=True, kw_only=True, tag="shortage.arrive"):
    """Record that a missing part arrived."""

    permission: ClassVar = Permission(SERVICE)
    by_author: ClassVar = True

    shortage: ShortageId
    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """A part is missing."""
        not_finished(state)
        if all(shortage.arrived for shortage in state.shortages.values()):
            raise Refusal("nothing-missing")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The part is one that is missing."""
        noted = state.shortages.get(self.shortage)
        if noted is None:
            raise Refusal("no-such-shortage", field="shortage")
        if noted.arrived:
            raise Refusal("already-arrived", part=noted.event.part)
        return [e.ShortageArrived(self.shortage, self.note)]
