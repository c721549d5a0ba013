"""Copying from paper on the step page: from which picture, in whose hand, written when.

All three stand in the page's address and in every form of the page, so that they hold from box to
box and from step to step, and an entry that waits for a signal keeps them.
"""

from typing import Any, Final
from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest

from prep.actions import handwritten
from prep.actions.handwritten import OnPaper
from prep.actions.write_path import Outcome
from prep.pages.forms import clock_moment, command_of, person, picture_of, text_of
from prep.queries.sites import member_rows
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE
from prep.record.unit.state import Record

FIELDS: Final = ("paper", "writer", "written")


def copying(request: HttpRequest) -> OnPaper | None:
    """What is being copied, the moment read by the yard's clock; None where nothing is said of it.

    Refuses where too little is said: an entry must not pass for one made on the spot.
    """
    said = _said(request)
    if not said:
        return None
    try:
        photo, written = UUID(said.get("paper", "")), clock_moment(said.get("written", ""))
    except ValueError:
        written = None
    if written is None or "writer" not in said:
        raise Refusal(
            "paper-unclear", "Choose the picture, who wrote it, and day and time, then enter it."
        )
    return OnPaper(photo, said["writer"], written)


def query(request: HttpRequest) -> str:
    """What is being copied, for the address of the page to go on with."""
    said = _said(request)
    return f"?{urlencode(said)}" if said else ""


def chooser(request: HttpRequest, record: Record, site: str) -> dict[str, Any]:
    """What the step page shows of paper: what is being copied, or what may be chosen."""
    writers = {
        row["person__username"]: row["person__printed_name"]
        for row in member_rows(site)
        if row["role"] in SERVICE
    }
    try:
        source = copying(request)
    except Refusal:
        source = None
    return {
        "copying": source,
        "copying_query": query(request) if source else "",
        "of_paper": _said(request),
        "writers": writers,
        "writer_name": writers.get(source.writer, source.writer) if source else "",
        "paper_sheets": [(event, stamp) for event, stamp in record.photos if event.of_paper],
    }


def _said(request: HttpRequest) -> dict[str, str]:
    sent = {name: request.POST.get(name) or request.GET.get(name, "") for name in FIELDS}
    return {name: text for name, text in sent.items() if text}


def attach(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    """Keep the picture of a page that somebody filled in by hand."""
    return handwritten.attach(
        actor=person(request),
        command=command_of(request),
        unit=unit,
        content=picture_of(request),
        mark=text_of(request, "mark"),
        note=text_of(request, "note"),
    )
