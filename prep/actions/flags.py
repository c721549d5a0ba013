"""Flags, concessions and shortages."""

from uuid import UUID

from prep.actions.people import confirm
from prep.actions.writing import Command, Outcome, change_unit
from prep.models import Person
from prep.record import flags


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
    """Say what put it right."""
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
    """Release a nonconforming item, by name and with a reason."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["flag.concede", flag, reason],
        decide=lambda record, context: flags.concede(record, context, flag=flag, reason=reason),
    )


def note_shortage(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    part: str,
    count: int = 1,
    stops_release: bool = True,
    expected: str = "",
    lent_to: str = "",
) -> Outcome:
    """A part is missing."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["shortage.note", part, count, stops_release, expected, lent_to],
        decide=lambda record, context: flags.note_shortage(
            record,
            context,
            part=part,
            count=count,
            stops_release=stops_release,
            expected=expected,
            lent_to=lent_to,
        ),
    )


def shortage_arrived(
    *, actor: Person, command: Command, unit: UUID, shortage: str, note: str = ""
) -> Outcome:
    """A missing part came."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["shortage.arrived", shortage, note],
        decide=lambda record, context: flags.shortage_arrived(
            record, context, shortage=shortage, note=note
        ),
    )
