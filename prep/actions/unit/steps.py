"""Steps: cautions, skipping, signing, re-opening."""

from uuid import UUID

from prep.actions.people import confirm
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import steps


def acknowledge(*, actor: Person, command: Command, unit: UUID, step: str) -> Outcome:
    """The person has read the cautions."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.acknowledge", step],
        decide=lambda record, context: steps.acknowledge(record, context, step=step),
    )


def skip(*, actor: Person, command: Command, unit: UUID, step: str, reason: str) -> Outcome:
    """The step does not apply, for a reason."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.skip", step, reason],
        decide=lambda record, context: steps.skip(record, context, step=step, reason=reason),
    )


def reopen(*, actor: Person, command: Command, unit: UUID, step: str, reason: str) -> Outcome:
    """The step is to be worked again."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.reopen", step, reason],
        decide=lambda record, context: steps.reopen(record, context, step=step, reason=reason),
    )


def sign(*, actor: Person, command: Command, unit: UUID, step: str, seen: str, pin: str) -> Outcome:
    """Sign as prepared."""
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
    """Sign as second person."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["step.check_as_second", step, seen],
        decide=lambda record, context: steps.check_as_second(record, context, step=step, seen=seen),
    )
