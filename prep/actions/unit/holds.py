"""Stopping work on a unit, and letting it go on."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import holds


def hold(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """Stop work."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.hold", reason],
        decide=lambda record, context: holds.hold(record, context, reason=reason),
    )


def resume(*, actor: Person, command: Command, unit: UUID, note: str = "") -> Outcome:
    """Let work go on."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.resume", note],
        decide=lambda record, context: holds.resume(record, context, note=note),
    )
