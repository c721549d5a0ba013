"""Sheets filled in by hand: the mark of their revision, their photos, and copying from them.

A handwritten entry counts like one made on the tablet if the page says who wrote it and when, and
a photo of the page is kept. The copied entry is dated by the writing; the record also keeps who
copied it, and when.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar, Final
from uuid import UUID

import msgspec

from prep.record.command import Facts, Permission
from prep.record.facts import Paper
from prep.record.fields import Meta, Moment, Note
from prep.record.needs import PICTURE
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Actor, Context, Role
from prep.record.unit import events as e
from prep.record.unit.commands.photos import photo_attached
from prep.record.unit.guards import sheet
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand

MARK_LENGTH: Final = 8


class PaperSource(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Source of an entry copied from a page: its photo, attached before, its writer, and the time.

    The entry counts as made by the writer (a user name) at `written`; whoever sends it is recorded
    as who copied it.
    """

    photo: UUID
    writer: Annotated[str, Meta(min_length=1, max_length=150, description="User name.")]
    written: Moment


@dataclass(frozen=True)
class Writing:
    """Source of a handwritten entry: the photo of its page, and who wrote it."""

    photo: str
    writer: Actor


def mark_of(digest: str) -> str:
    """The mark printed on every page of a blank sheet: `1A2B 3C4D`, from its revision's digest."""
    head = digest[:MARK_LENGTH].upper()
    return f"{head[:4]} {head[4:]}"


def same_mark(typed: str, digest: str) -> bool:
    """Whether a typed mark is the mark of the revision with this digest."""
    return re.sub(r"[^0-9A-Z]", "", typed.upper()) == digest[:MARK_LENGTH].upper()


class AttachPage(UnitCommand, frozen=True, kw_only=True, tag="page.attach"):
    """Attach a photo of a page filled in by hand, to copy entries from.

    `mark` is the mark printed on the page, empty for a page that is not a printed sheet.
    """

    permission: ClassVar = Permission(SERVICE)
    attachment: ClassVar = "photo"
    needs: ClassVar = (PICTURE,)

    mark: Annotated[str, Meta(max_length=20, examples=["1A2B 3C4D"])] = ""
    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The sheet is started."""
        sheet(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The page is of the revision in force."""
        if self.mark:
            _check_mark(state, self.mark)
        page = {"of_paper": True, "mark": self.mark}
        return [photo_attached(facts[PICTURE], self.note, **page)]


def copied(record: Record, step: Step, writing: Writing) -> Paper:
    """Source of an entry copied into a step, for its event.

    Raises Refusal where the page has no photo or is of another revision, and where the writing
    is by a person who may not do the step.
    """
    page = _page(record, writing.photo)
    if page.mark:
        _check_mark(record, page.mark)
    writer = writing.writer
    if not any(role.value in step.who for role in writer.roles):
        raise Refusal(
            "not-the-work-of",
            field="paper.writer",
            step_title=step.title,
            roles=tuple(map(Role, step.who)),
            writer=writer.name,
        )
    return Paper(page.photo, page.digest, writer.id, writer.name)


def writers(record: Record, step: Step) -> dict[str, str]:
    """Writers of the entries copied into a step, name by id; empty where none is copied."""
    names = {}
    for box in step.boxes:
        state = record.boxes.get((step.step, *box))
        source = state.current.event.paper if state and state.current else None
        if source:
            names[source.writer] = source.writer_name
    return names


def _page(record: Record, photo: str) -> e.PhotoAttached:
    for page, _ in record.photos:
        if page.of_paper and page.photo == photo:
            return page
    raise Refusal("no-paper", field="paper.photo")


def _check_mark(record: Record, mark: str) -> None:
    assert record.sheet is not None  # the callers checked it
    if not same_mark(mark, record.sheet.digest):
        raise Refusal(
            "paper-of-another-revision",
            field="mark",
            mark=mark,
            in_force=mark_of(record.sheet.digest),
        )
