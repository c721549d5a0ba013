"""Actions on missing parts: note one, and record its arrival."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import shortages


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
    """Note a missing part."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["shortage.note", part, count, stops_release, expected, lent_to],
        decide=lambda record, context: shortages.note_shortage(
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
    """Record that a missing part arrived."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["shortage.arrived", shortage, note],
        decide=lambda record, context: shortages.shortage_arrived(
            record, context, shortage=shortage, note=note
        ),
    )
