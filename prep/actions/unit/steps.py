"""Actions on a step: acknowledge its cautions, skip, re-open, sign, check as second person."""

from uuid import UUID

from prep.actions.people import confirm
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import steps


def acknowledge(*, actor: Person, command: Command, unit: UUID, step: str) -> Outcome:
    """Record that the person has read the cautions of a step."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.acknowledge", step],
        decide=lambda record, context: steps.acknowledge(record, context, step=step),
    )


def skip(*, actor: Person, command: Command, unit: UUID, step: str, reason: str) -> Outcome:
    """Mark a step not applicable, with a reason."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.skip", step, reason],
        decide=lambda record, context: steps.skip(record, context, step=step, reason=reason),
    )


def reopen(*, actor: Person, command: Command, unit: UUID, step: str, reason: str) -> Outcome:
    """Re-open a step, with a reason."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.reopen", step, reason],
        decide=lambda record, context: steps.reopen(record, context, step=step, reason=reason),
    )


def sign(*, actor: Person, command: Command, unit: UUID, step: str, seen: str, pin: str) -> Outcome:
    """Sign a step as prepared, with the PIN."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.sign", step, seen],
        decide=lambda record, context: steps.sign(record, context, step=step, seen=seen),
    )


def check_as_second(
    *, actor: Person, command: Command, unit: UUID, step: str, seen: str, pin: str
) -> Outcome:
    """Sign a step as second person, with the PIN."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.check_as_second", step, seen],
        decide=lambda record, context: steps.check_as_second(record, context, step=step, seen=seen),
    )
