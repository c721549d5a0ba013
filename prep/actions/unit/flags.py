"""Actions on flags: raise, close, concede."""

from uuid import UUID

from prep.actions.people import confirm
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import flags


def raise_flag(
    *, actor: Person, command: Command, unit: UUID, text: str, step: str = ""
) -> Outcome:
    """Report something wrong."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["flag.raise", text, step],
        decide=lambda record, context: flags.raise_flag(record, context, text=text, step=step),
    )


def close(*, actor: Person, command: Command, unit: UUID, flag: str, text: str) -> Outcome:
    """Close a flag by saying how the problem was fixed."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["flag.close", flag, text],
        decide=lambda record, context: flags.close(record, context, flag=flag, text=text),
    )


def concede(
    *, actor: Person, command: Command, unit: UUID, flag: str, reason: str, pin: str
) -> Outcome:
    """Grant a concession on a flag, signed with the PIN."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["flag.concede", flag, reason],
        decide=lambda record, context: flags.concede(record, context, flag=flag, reason=reason),
    )
