"""Actions that enter readings, checks and photos."""

from uuid import UUID

from prep.actions import photo_store
from prep.actions.unit.handwritten import OnPaper, as_written
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.queries.instruments import instrument_facts
from prep.record.unit.commands import entries, photos


def take(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    text: str,
    position: str = "",
    instrument: str = "",
    supersedes: str = "",
    reason: str = "",
    paper: OnPaper | None = None,
) -> Outcome:
    """Take a reading: the value as typed, judged against its limit."""
    facts = instrument_facts(instrument) if instrument else None
    command, writing = as_written(actor, unit, command, paper)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=[
            "reading.take",
            step,
            line,
            position,
            text,
            instrument,
            supersedes,
            reason,
            paper is not None,
            *(paper.request if paper else ()),
        ],
        decide=lambda record, context: entries.take(
            record,
            context,
            step=step,
            line=line,
            text=text,
            position=position,
            instrument=facts,
            supersedes=supersedes,
            reason=reason,
            decimal_comma=actor.decimal_comma,
            writing=writing,
        ),
    )


def complete_check(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    answer: bool,
    position: str = "",
    note: str = "",
    supersedes: str = "",
    reason: str = "",
    paper: OnPaper | None = None,
) -> Outcome:
    """Answer a yes/no line."""
    command, writing = as_written(actor, unit, command, paper)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=[
            "check.complete",
            step,
            line,
            position,
            answer,
            note,
            supersedes,
            reason,
            paper is not None,
            *(paper.request if paper else ()),
        ],
        decide=lambda record, context: entries.complete_check(
            record,
            context,
            step=step,
            line=line,
            answer=answer,
            position=position,
            note=note,
            supersedes=supersedes,
            reason=reason,
            writing=writing,
        ),
    )


def attach_photo(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    content: bytes,
    position: str = "",
    note: str = "",
) -> Outcome:
    """Attach a photo to a line."""

    def record(picture: photo_store.Picture) -> Outcome:
        return change_unit(
            actor=actor,
            unit=unit,
            command=command,
            request=["photo.attach", step, line, position, picture.digest, note],
            decide=lambda record, context: photos.attach_photo(
                record,
                context,
                photo=str(picture.id),
                step=step,
                line=line,
                digest=picture.digest,
                name=picture.name,
                size=picture.size,
                position=position,
                note=note,
            ),
        )

    return photo_store.keep(unit=unit, command=command, content=content, record=record)
