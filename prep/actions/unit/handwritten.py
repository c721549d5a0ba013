"""Actions on pages filled in by hand: attach their photos, and copy entries from them."""

from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from prep.actions import photo_store
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person
from prep.queries.people import actor_at
from prep.queries.units import seen_by
from prep.record.log.envelope import moment
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.record.unit.commands import handwritten
from prep.record.unit.commands.handwritten import Writing


@dataclass(frozen=True)
class OnPaper:
    """Source of a handwritten entry: photo of the page, user name of the writer, time of writing.

    `written` carries a time zone.
    """

    photo: UUID
    writer: str
    written: datetime

    @property
    def request(self) -> list[str]:
        """Its part of a command's request, as plain values."""
        return [str(self.photo), self.writer, moment(self.written)]


def attach(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    content: bytes,
    mark: str = "",
    note: str = "",
) -> Outcome:
    """Attach a photo of a page filled in by hand, to copy entries from."""

    def record(picture: photo_store.Picture) -> Outcome:
        return change_unit(
            actor=actor,
            unit=unit,
            command=command,
            request=["paper.attach", picture.digest, mark, note],
            decide=lambda record, context: handwritten.attach(
                record,
                context,
                photo=str(picture.id),
                digest=picture.digest,
                name=picture.name,
                size=picture.size,
                mark=mark,
                note=note,
            ),
        )

    return photo_store.keep(unit=unit, command=command, content=content, record=record)


def as_written(
    actor: Person, unit: UUID, command: Command, on_paper: OnPaper | None
) -> tuple[Command, Writing | None]:
    """The command dated by the writing, and the writing; unchanged and None without one."""
    if on_paper is None:
        return command, None
    writer = _writer(on_paper.writer, seen_by(actor, unit).site)
    writing = Writing(str(on_paper.photo), writer, on_paper.written)
    return replace(command, happened=on_paper.written), writing


def _writer(username: str, site: str) -> Actor:
    person = Person.objects.filter(username=username).first()
    writer = actor_at(person, site) if person else None
    if writer is None or not writer.roles:
        raise Refusal(
            "no-such-writer",
            f"Nobody called “{username}” works at this yard. Say who wrote it.",
            field="paper.writer",
        )
    return writer
