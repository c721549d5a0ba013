"""Sheets on paper: the mark that tells their revision, and what may be copied from them.

Paper is as good as the tablet where it says who, when and what, and where a picture of it stays.
An entry copied from it happened when it was written, by whom it was written; the record keeps
beside that who copied it, and when.
"""

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Actor, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import sheet
from prep.record.unit.state import Record

MARK_LENGTH: Final = 8


@dataclass(frozen=True)
class Writing:
    """What stands on paper: the picture that shows it, who wrote it, and when."""

    photo: str
    writer: Actor
    written: datetime


def mark_of(digest: str) -> str:
    """The mark printed on every page of a blank sheet: `1A2B 3C4D`, from its revision's digest."""
    head = digest[:MARK_LENGTH].upper()
    return f"{head[:4]} {head[4:]}"


def same_mark(typed: str, digest: str) -> bool:
    """Whether a mark as somebody typed it is that of a revision."""
    return re.sub(r"[^0-9A-Z]", "", typed.upper()) == digest[:MARK_LENGTH].upper()


def attach(
    record: Record,
    context: Context,
    *,
    photo: str,
    digest: str,
    name: str,
    size: int,
    mark: str = "",
    note: str = "",
) -> list[e.Event]:
    """A picture of a page filled in by hand; entries are copied from it afterwards.

    `mark` is what the page has printed on it, empty for other paper. The file itself is stored
    beside the log.
    """
    require(context, SERVICE, "copy from paper")
    sheet(record)
    if mark:
        _of_this_revision(record, mark)
    return [e.PhotoAttached(photo, "", "", "", digest, name, size, note, True, mark)]


def copied(record: Record, context: Context, step: Step, writing: Writing) -> e.Paper:
    """Where an entry of a step is copied from; Refusal where the paper cannot bear it out."""
    page = _page(record, writing.photo)
    if page.mark:
        _of_this_revision(record, page.mark)
    _could_be_written(record, context, step, writing.written)
    writer = writing.writer
    if not any(role.value in step.who for role in writer.roles):
        raise Refusal(
            "not-the-work-of",
            f"{step.title} is for a {' or a '.join(step.who)}, and {writer.name} is none. "
            "Choose who did the work.",
            field="paper.writer",
        )
    return e.Paper(page.photo, page.digest, writer.id, writer.name)


def writers(record: Record, step: Step) -> dict[str, str]:
    """Whose writing stands in a step, name by id; empty where nothing is copied from paper."""
    found = {}
    for box in step.boxes:
        state = record.boxes.get((step.step, *box))
        paper = state.current.event.paper if state and state.current else None
        if paper:
            found[paper.writer] = paper.writer_name
    return found


def _page(record: Record, photo: str) -> e.PhotoAttached:
    for page, _ in record.photos:
        if page.of_paper and page.photo == photo:
            return page
    raise Refusal(
        "no-paper",
        "There is no picture of this paper. Take one, attach it, then copy from it.",
        field="paper.photo",
    )


def _of_this_revision(record: Record, mark: str) -> None:
    assert record.sheet is not None  # asked before
    if not same_mark(mark, record.sheet.digest):
        raise Refusal(
            "paper-of-another-revision",
            f"The paper bears the mark “{mark}”, and the sheet in force bears "
            f"{mark_of(record.sheet.digest)}: what they ask may differ. Read the mark again; if it "
            "is right, print the sheet anew and do the work by that one.",
            field="mark",
        )


def _could_be_written(record: Record, context: Context, step: Step, written: datetime) -> None:
    """Between the start of the sheet, or the last re-opening of the step, and now.

    Paper tells minutes, so a moment is compared with the minute in which the sheet was started.
    """
    if written > context.recorded:
        raise Refusal(
            "written-later",
            "It cannot have been written later than now. Read day and time again.",
            field="paper.written",
        )
    assert record.sheet_started is not None  # a step is of a sheet
    if written < _minute(record.sheet_started.happened):
        raise Refusal(
            "written-before-sheet",
            "It was written before this sheet was started, so it is not of this sheet. Read day "
            "and time again, or do the step anew.",
            field="paper.written",
        )
    reopened = record.step_state(step.step).reopened
    if reopened and written < _minute(reopened[-1][1].happened):
        raise Refusal(
            "written-before-reopening",
            f"{step.title} was opened again after this was written ({reopened[-1][0]}). Do it "
            "anew.",
            field="paper.written",
        )


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0)
