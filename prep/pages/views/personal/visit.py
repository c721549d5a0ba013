"""What a guest sees: the named units, what was read on them, documents that name nobody.

Everything that is opened is noted: who has seen a page may have copied it. Whatever else there is,
there is nothing at its address for a guest.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone

from prep.actions.beside_the_log.guests import open_visit, sees, visiting
from prep.actions.readings.personal import How, Shown, note
from prep.models import Guest
from prep.pages.boxes import boxes_of
from prep.pages.forms import GUEST, use_time_zone_of
from prep.pages.reader_language import language_of
from prep.pages.refusals import shown_refusal
from prep.queries.personal.guests import reader_named
from prep.queries.records import record_of
from prep.queries.units import plates_of
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.unit.readiness import readiness
from prep.record.unit.state import Record
from prep.words.reader import Reader, say
from prep.words.unit.states import state_in_record
from reports import queue
from reports.models import DocumentRequest, State
from reports.registry import kind_named

View = Callable[..., HttpResponseBase]


def for_guest(view: View) -> View:
    """A page of a visit: for a guest whose visit goes on, and for nobody else."""

    @wraps(view)
    def in_visit(request: HttpRequest, **address: Any) -> HttpResponseBase:
        guest = visiting(request.session.get(GUEST, ""))
        if guest is None:
            raise Http404
        with timezone.override(None):
            use_time_zone_of([guest.site_id])
            return view(request, guest, **address)

    return in_visit


def open_page(request: HttpRequest, guest: UUID, secret: str) -> HttpResponse:
    """Ask whoever follows the link to open the visit, or open it.

    Only the button opens it: programs that look at links in mails do not use it up.
    """
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            opened = open_visit(guest, secret)
        except Refusal as no:
            refusal = no
        else:
            request.session.flush()  # whoever was signed in here is not the guest
            request.session[GUEST] = str(opened.pk)
            request.session.set_expiry(opened.until)
            return redirect("visit")
    page = {"refusal": shown_refusal(refusal, request) if refusal else None}
    return render(request, "visit_open.html", page, status=409 if refusal else 200)


@for_guest
def visit(request: HttpRequest, guest: Guest) -> HttpResponse:
    """The units a guest was admitted to."""
    _note(guest, "units", rows=len(guest.units))
    plates = plates_of(map(UUID, guest.units))
    page = {"guest": guest, "units": sorted(plates.items(), key=lambda one: one[1].serial)}
    return render(request, "visit.html", page)


@for_guest
def unit(request: HttpRequest, guest: Guest, unit: UUID) -> HttpResponse:
    """A unit: where it stands, what was read on it, and its documents."""
    if not sees(guest, unit):
        raise Http404
    _note(guest, "unit", str(unit))
    record, reader = record_of(unit), _reader(request)
    page = {
        "guest": guest,
        "unit": unit,
        "record": record,
        "state": state_in_record(record, readiness(record), reader),
        "sections": _sections(record, reader),
        "documents": [(one, say(reader, kind_named(one.kind).title)) for one in _documents(unit)],
    }
    return render(request, "visit_unit.html", page)


@for_guest
def document(request: HttpRequest, guest: Guest, document: UUID) -> HttpResponseBase:
    """A finished document of one of the units, if nobody is named in it."""
    row = DocumentRequest.objects.filter(pk=document).first()
    if row is None or row.unit_id is None or not sees(guest, row.unit_id):
        raise Http404
    if row not in _documents(row.unit_id):
        raise Http404
    try:
        file = queue.open_file(row)
    except Refusal as no:
        raise Http404 from no
    try:
        _note(guest, "file", str(row.pk), How.DOCUMENT)
    except BaseException:  # what cannot be noted is not shown
        file.close()
        raise
    return FileResponse(file, as_attachment=False, filename=row.name, content_type=row.media_type)


def _note(guest: Guest, sort: str, subject: str = "", how: How = How.PAGE, rows: int = 1) -> None:
    """Note it under the guest's company: the note is kept for good, and holds no name."""
    shown = Shown(sort, how, [guest.site_id], subject, rows)
    note(reader_named(guest), guest.organization, shown)


def _documents(unit: UUID) -> list[DocumentRequest]:
    done = queue.requests_of(unit).filter(state=State.DONE, erased=None, holdings=None)
    return list(done.filter(kind__in=("certificate", "sheet")))


def _sections(record: Record, reader: Reader) -> list[tuple[str, list[tuple[Step, Any]]]]:
    """The sheet: sections with their steps, each with its boxes; of photos nothing is shown."""
    if record.procedure is None:
        return []
    return [
        (
            section.title,
            [(step, boxes_of(record, step, "", [], reader)) for step in section.steps],
        )
        for section in record.procedure.sections
    ]


def _reader(request: HttpRequest) -> Reader:
    return Reader(language=language_of(request))
