"""Sheets filled in by hand: a unit begun days ago, a picture of a page, and Ben who copies it."""

from datetime import timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone

from prep.actions.unit import entries, handwritten, sheets
from prep.actions.unit.handwritten import OnPaper
from prep.actions.write_path import Command
from tests.cast import Yard
from tests.stored_files import picture


def started_yesterday(yard: Yard, days: int = 1) -> UUID:
    """A unit whose sheet was started a day or more ago, by the tablet's clock."""
    unit = yard.receive()
    then = timezone.now() - timedelta(days=days)
    sheets.start(actor=yard.ada, command=Command(happened=then), unit=unit)
    return unit


def attached(yard: Yard, unit: UUID, **more: Any) -> UUID:
    """Ben attaches a picture of a page; its id."""
    outcome = handwritten.attach(
        actor=more.pop("actor", yard.ben),
        command=Command(),
        unit=unit,
        content=picture(),
        **more,
    )
    return UUID(outcome.events[0].photo)  # type: ignore[union-attr]  # the event is the picture


def by_ada(yard: Yard, photo: UUID, hours_ago: float = 3) -> OnPaper:
    """Ada wrote it, some hours ago."""
    return OnPaper(photo, yard.ada.username, timezone.now() - timedelta(hours=hours_ago))


def copy(yard: Yard, unit: UUID, source: OnPaper, text: str = "4 in", **more: Any) -> Any:
    """Ben copies the height of the front tip."""
    where = {"step": "pitch", "line": "front", **more}
    return entries.take(
        actor=where.pop("actor", yard.ben),
        command=where.pop("command", None) or Command(),
        unit=unit,
        text=text,
        paper=source,
        **where,
    )
