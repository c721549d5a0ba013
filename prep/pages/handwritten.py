"""Entries copied from a sheet filled in by hand: the photo, the writer, and when it was written.

All three are in the page's URL and in each form of the page, so that they hold from box to box and
from step to step, and an entry that waits for a signal keeps them.
"""

from typing import Any, Final
from urllib.parse import urlencode

from django.http import HttpRequest

from prep.pages.forms import clock_moment
from prep.queries.sites import member_rows
from prep.record.inputs.spelling import id_of
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE
from prep.record.unit.commands.handwritten import PaperSource
from prep.record.unit.state import Record

FIELDS: Final = ("paper", "writer", "written")


def source_of(request: HttpRequest) -> PaperSource | None:
    """The handwritten source of the request's entry; None where the entry is not copied.

    The moment is read in the yard's time zone. An incomplete source is refused, because the entry
    would otherwise pass for one made at the machine.
    """
    fields = _source_fields(request)
    if not fields:
        return None
    photo, written = id_of(fields.get("paper", "")), clock_moment(fields.get("written", ""))
    if photo is None or written is None or "writer" not in fields:
        raise Refusal("paper-unclear")
    return PaperSource(photo=photo, writer=fields["writer"], written=written)


def source_query(request: HttpRequest) -> str:
    """The query string that keeps the source in the URL of the next page."""
    fields = _source_fields(request)
    return f"?{urlencode(fields)}" if fields else ""


def source_context(request: HttpRequest, record: Record, site: str) -> dict[str, Any]:
    """Template context of the step page: the source being copied, and the choices for one."""
    writers = {
        row["person__username"]: row["person__printed_name"]
        for row in member_rows(site)
        if row["role"] in SERVICE
    }
    try:
        source = source_of(request)
    except Refusal:
        source = None
    return {
        "copying": source,
        "copying_query": source_query(request) if source else "",
        "of_paper": _source_fields(request),
        "writers": writers,
        "writer_name": writers.get(source.writer, source.writer) if source else "",
        "paper_sheets": [(event, stamp) for event, stamp in record.photos if event.of_paper],
    }


def _source_fields(request: HttpRequest) -> dict[str, str]:
    sent = {name: request.POST.get(name) or request.GET.get(name, "") for name in FIELDS}
    return {name: text for name, text in sent.items() if text}
