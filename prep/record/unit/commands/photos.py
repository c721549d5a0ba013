"""Commands on photos: attach one to a line of a step, mark whether one shows people."""

from collections.abc import Sequence
from typing import Annotated, Any, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import EVENT_ID, LineCode, Meta, Note, Position, Reason
from prep.record.needs import PICTURE, Picture
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.events.identity import PhotoMarked
from prep.record.unit.guards import find_line, find_step, open_for_work, received
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand
from prep.record.unit.unit_command import UnitCommand


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


def photos_to_mark(state: Record, *, people: bool) -> list[e.PhotoAttached]:
    """The photos that can be marked as showing people, or as showing none; no erased one."""
    return [
        photo
        for photo, _ in state.photos
        if photo.people is not people and photo.photo not in state.erased_photos
    ]


class _MarkPhoto(UnitCommand, frozen=True, kw_only=True):
    """A mark on a photo of a unit, also of one that is released or handed over."""

    people: ClassVar[bool]

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """There is a photo to mark."""
        received(state)
        if not photos_to_mark(state, people=cls.people):
            raise Refusal("no-such-photo", field="photo")

    def _marked(self, state: Record, photo: str, reason: str) -> Sequence[e.Event]:
        if all(one.photo != photo for one in photos_to_mark(state, people=self.people)):
            raise Refusal("no-such-photo", field="photo")
        return [PhotoMarked(photo, self.people, reason)]


class MarkPeople(_MarkPhoto, frozen=True, kw_only=True, tag="photo.mark-people"):
    """Mark a photo as one on which people can be recognized.

    It is personal from then on: it is shown to few, and erased with the buyer.
    """

    permission: ClassVar = Permission(SERVICE)
    people: ClassVar = True

    photo: Annotated[
        str,
        Meta(min_length=1, max_length=60, examples=[EVENT_ID], extra={"choose": "photo-to-mark"}),
    ]
    reason: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Whoever sees it from then on may see people."""
        return self._marked(state, self.photo, self.reason)


class UnmarkPeople(_MarkPhoto, frozen=True, kw_only=True, tag="photo.unmark-people"):
    """Take back that a photo shows people: a service manager looked at it."""

    permission: ClassVar = Permission(MANAGER)
    people: ClassVar = False

    photo: Annotated[
        str,
        Meta(min_length=1, max_length=60, examples=[EVENT_ID], extra={"choose": "photo-to-unmark"}),
    ]
    reason: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """It is shown to everybody of the yard again."""
        return self._marked(state, self.photo, self.reason)
