"""Actions that start a sheet and move it to another revision."""

from uuid import UUID

from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.queries.procedures import revision_for, revision_in_force
from prep.record.unit.commands import sheets


def start(*, actor: Person, command: Command, unit: UUID, procedure: str = "") -> Outcome:
    """Start the sheet on the newest revision that fits the unit, or of the procedure named."""
    digest, document = revision_for(unit, procedure)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["sheet.start", procedure],
        decide=lambda record, context: sheets.start_sheet(
            record, context, procedure=document, digest=digest
        ),
    )


def move(
    *, actor: Person, command: Command, unit: UUID, procedure: str, revision: int, reason: str
) -> Outcome:
    """Move a sheet to another revision; the steps that changed re-open."""
    digest, document = revision_in_force(procedure, revision)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["sheet.move", procedure, revision, reason],
        decide=lambda record, context: sheets.move_sheet(
            record, context, procedure=document, digest=digest, reason=reason
        ),
    )
