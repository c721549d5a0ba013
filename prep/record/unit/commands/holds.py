"""Commands that put a unit on hold and take it off hold."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Note, Reason
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import received
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class HoldUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.hold"):
    """Put a unit on hold."""

    permission: ClassVar = Permission(SERVICE)

    reason: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Nothing more is entered until the unit is taken off hold."""
        return [e.Held(self.reason)]


class ResumeUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.resume"):
    """Take a unit off hold."""

    permission: ClassVar = Permission(MANAGER)

    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is on hold."""
        received(state)
        if state.held is None:
            raise Refusal("not-held")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Work goes on."""
        return [e.Resumed(self.note)]
