"""Base class of the commands on one unit."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Command, Facts
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record


class UnitCommand(Command, frozen=True, kw_only=True):
    """A command on one unit. Unless it says otherwise, the unit is here, and not on hold."""

    stream: ClassVar[str] = "unit"

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """Refuse where the unit does not allow the command, whatever its fields."""
        not_finished(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The events the command causes; Refusal where it may not be carried out."""
        raise NotImplementedError
