"""Sheets filled in by hand: a unit begun days ago, a picture of a page, and Ben who copies it."""

from datetime import timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.commands.handwritten import AttachPage, PaperSource
from prep.record.unit.commands.sheets import StartSheet
from tests.cast import Yard
from tests.stored_files import picture


def started_yesterday(yard: Yard, days: int = 1) -> UUID:
    """A unit whose sheet was started a day or more ago, by the tablet's clock."""
    then = timezone.now() - timedelta(days=days)
    unit = yard.receive(happened=then)
    perform(StartSheet(), actor=yard.ada, submission=Submission(happened=then), target=unit)
    return unit


def attached(yard: Yard, unit: UUID, **more: Any) -> UUID:
    """Ben attaches a picture of a page; its id."""
    who = more.pop("actor", yard.ben)
    page = AttachPage(**more)
    outcome = perform(page, actor=who, target=unit, attachment=picture())
    return UUID(outcome.events[0].photo)


def by_ada(yard: Yard, photo: UUID, hours_ago: float = 3) -> PaperSource:
    """Ada wrote it, some hours ago."""
    return PaperSource(photo, yard.ada.username, timezone.now() - timedelta(hours=hours_ago))


def copy(yard: Yard, unit: UUID, source: PaperSource, text: str = "4 in", **more: Any) -> Any:
    """Ben copies the height of the front tip."""
    who = more.pop("actor", yard.ben)
    submission = more.pop("command", None)
    where = {"step": "pitch", "line": "front", **more}
    reading = TakeReading(text=text, paper=source, **where)
    return perform(reading, actor=who, submission=submission, target=unit)
