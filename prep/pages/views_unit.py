"""One unit: is it ready, what stops it, what was done, and the papers."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from prep.pages.commands import offered
from prep.pages.forms import person, signed_in, unit_seen
from prep.pages.sentences import sentence
from prep.queries.records import fold_history, history
from prep.queries.units import Seen
from prep.record.readiness import readiness
from prep.record.registering import registration
from prep.record.rows import state_of
from prep.record.sheet import statuses
from prep.record.unit import Record
from reports import queue
from reports.models import DocumentRequest, State


@signed_in
def unit(request: HttpRequest, unit: UUID) -> HttpResponse:
    """The unit as it stands, or as it stood at a moment."""
    seen = unit_seen(request, unit)
    as_of = _moment(request.GET.get("as_of", ""))
    past = history(unit, until=as_of)
    if not past:
        raise Http404
    record = fold_history(past)
    return render(
        request,
        "unit.html",
        {
            **about(unit, record, seen),
            "as_of": as_of,
            "history": [(h.stamp, sentence(h.event)) for h in reversed(past)],
            "documents": queue.requests_of(unit),
            "commands": [] if as_of else offered(record, seen.roles),
        },
    )


def about(unit: UUID, record: Record, seen: Seen) -> dict[str, Any]:
    """What every page about a unit says at its top."""
    answer = readiness(record)
    return {
        "unit": unit,
        "record": record,
        "roles": seen.roles,
        "site": seen.site,
        "readiness": answer,
        "state": state_of(record, answer),
        "sections": _sections(record),
        "registration": registration(record, timezone.now().date()),
    }


def _sections(record: Record) -> list[tuple[str, list[tuple[Any, str]]]]:
    if record.procedure is None:
        return []
    found = statuses(record)
    return [
        (section.title, [(step, found[step.step].value) for step in section.steps])
        for section in record.procedure.sections
    ]


def _moment(text: str) -> datetime | None:
    try:
        found = parse_datetime(text) if text else None
    except ValueError:
        return None
    if found and timezone.is_naive(found):
        return timezone.make_aware(found)
    return found


@signed_in
def document(request: HttpRequest, document: UUID) -> HttpResponseBase:
    """A finished document, for whoever may see its unit, or asked for it."""
    found = DocumentRequest.objects.filter(pk=document, state=State.DONE).first()
    if found is None:
        raise Http404
    if found.unit_id:
        unit_seen(request, found.unit_id)
    elif found.person_id != person(request).pk:
        raise Http404
    return FileResponse(
        queue.open_file(found),
        as_attachment=False,
        filename=found.name,
        content_type=found.media_type,
    )
