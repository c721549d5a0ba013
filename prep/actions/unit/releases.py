"""Actions that release a unit and withdraw its release."""

from collections.abc import Sequence
from uuid import UUID

from prep.actions.people import confirm
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import releases


def release(*, actor: Person, command: Command, unit: UUID, seen: str, pin: str) -> Outcome:
    """Release the unit, signed with the service manager's PIN."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.release", seen],
        decide=lambda record, context: releases.release(record, context, seen=seen),
    )


def reopen(
    *, actor: Person, command: Command, unit: UUID, reason: str, steps: Sequence[str] = ()
) -> Outcome:
    """Withdraw the release, with a reason and the steps to do again."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.reopen", reason, steps],
        decide=lambda record, context: releases.reopen(record, context, reason=reason, steps=steps),
    )
