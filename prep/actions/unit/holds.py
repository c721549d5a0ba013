"""Actions that put a unit on hold and take it off hold."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import holds


def hold(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """Put the unit on hold."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.hold", reason],
        decide=lambda record, context: holds.hold(record, context, reason=reason),
    )


def resume(*, actor: Person, command: Command, unit: UUID, note: str = "") -> Outcome:
    """Take the unit off hold."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.resume", note],
        decide=lambda record, context: holds.resume(record, context, note=note),
    )
