"""Warranty registrations: sent to the maker, answered by the maker."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.record.unit.commands import registrations


def send(*, actor: Person, command: Command, unit: UUID, document: str, note: str = "") -> Outcome:
    """A registration bundle went out."""
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
    """The maker answered."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["registration.answer", accepted, reason],
        decide=lambda record, context: registrations.answer(
            record, context, accepted=accepted, reason=reason
        ),
    )
