"""Actions on warranty registrations: sent to the manufacturer, answered by the manufacturer."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import registrations


def send(*, actor: Person, command: Command, unit: UUID, document: str, note: str = "") -> Outcome:
    """Record that the registration was sent to the manufacturer."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["registration.send", document, note],
        decide=lambda record, context: registrations.send(
            record, context, document=document, note=note
        ),
    )


def answer(
    *, actor: Person, command: Command, unit: UUID, accepted: bool, reason: str = ""
) -> Outcome:
    """Record the manufacturer's answer."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["registration.answer", accepted, reason],
        decide=lambda record, context: registrations.answer(
            record, context, accepted=accepted, reason=reason
        ),
    )
