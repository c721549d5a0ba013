"""Command that attaches a photo to a line of a step."""

from collections.abc import Sequence
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.fields import LineCode, Note, Position
from prep.record.needs import PICTURE, Picture
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.guards import find_line, find_step, open_for_work
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand


class AttachPhoto(StepCommand, frozen=True, kw_only=True, tag="photo.attach"):
    """Attach a photo to a line. One on which people can be recognized is marked `people`.

    It is personal then: it is shown to few, and erased with the buyer.
    """

    attachment: ClassVar = "photo"
    needs: ClassVar = (PICTURE,)

    line: LineCode
    position: Position = ""
    note: Note = ""
    people: bool = False

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The file itself is kept beside the log; the event holds its digests."""
        step = find_step(state, self.step)
        find_line(step, self.line, self.position)
        open_for_work(state, context, step)
        where = {"step": self.step, "line": self.line, "position": self.position}
        return [photo_attached(facts[PICTURE], self.note, **where, people=self.people)]


def photo_attached(file: Picture, note: str, **more: Any) -> e.PhotoAttached:
    """The event of a picture; `more` says where it belongs, or of what it is."""
    return e.PhotoAttached(
        **{"photo": file.id, "step": "", "line": "", "position": "", **more},
        digest=file.digest,
        sent=file.sent,
        small=file.small,
        name=file.name,
        bytes=file.size,
        note=note,
    )
