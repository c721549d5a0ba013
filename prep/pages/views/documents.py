"""Documents and photos: opening them, and what may be done about a document."""

from collections.abc import Callable
from typing import Final
from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from prep.models import Photo
from prep.pages.forms import command_of, person, signed_in, unit_seen
from prep.pages.views.audit_bundle import audit_bundle_page
from prep.pages.views.printing import labels_page
from prep.pages.views.unit import unit_page
from prep.record.refusal import Refusal
from reports.models import DocumentRequest, State
from reports.queue import ask, cancel, may_stop, open_file, retry

DOINGS: Final[dict[str, Callable[[DocumentRequest], None]]] = {
    "stop": cancel,
    "retry": retry,
}
Listing = tuple[str, Callable[[HttpRequest, Refusal], HttpResponse]]
AUDITS: Final[Listing] = ("audit-bundle", audit_bundle_page)
LABELS: Final[Listing] = ("labels", labels_page)


@signed_in
def document(request: HttpRequest, document: UUID) -> HttpResponseBase:
    """A finished document: of a unit for people who may see it, else for whoever asked for it."""
    found = DocumentRequest.objects.filter(pk=document, state=State.DONE).first()
    if found is None:
        raise Http404
    if found.unit_id:
        unit_seen(request, found.unit_id)
    elif found.person_id != person(request).pk:
        raise Http404
    try:
        file = open_file(found)
    except Refusal as no:
        if not found.unit_id:
            raise Http404(no.text) from no
        return unit_page(request, found.unit_id, no)
    return FileResponse(
        file, as_attachment=False, filename=found.name, content_type=found.media_type
    )


@signed_in
@require_POST
def document_command(request: HttpRequest, document: UUID, name: str) -> HttpResponseBase:
    """Stop a document that is being made, or make one that was not."""
    found = DocumentRequest.objects.filter(pk=document).first()
    if found is None or name not in DOINGS:
        raise Http404
    if found.unit_id is None:
        return _of_no_unit(request, found, name)
    seen = unit_seen(request, found.unit_id)
    try:
        command_of(request)
        if not may_stop(person(request), found, seen):
            raise Refusal(
                "not-allowed", "Only the office or whoever asked for a document may do this."
            )
        DOINGS[name](found)
    except Refusal as no:
        return unit_page(request, found.unit_id, no)
    return redirect("unit", found.unit_id)


def _of_no_unit(request: HttpRequest, found: DocumentRequest, name: str) -> HttpResponseBase:
    """The same for a document of no single unit, which only whoever asked for it knows."""
    if found.person_id != person(request).pk:
        raise Http404
    address, page = LABELS if found.kind == "labels" else AUDITS
    try:
        command_of(request)
        DOINGS[name](found)
    except Refusal as no:
        return page(request, no)
    return redirect(address)


@signed_in
@require_POST
def register_again(request: HttpRequest, unit: UUID) -> HttpResponseBase:
    """Have the registration made again, as its next version."""
    unit_seen(request, unit)
    try:
        ask(
            actor=person(request),
            kind="registration",
            command=command_of(request).id,
            unit=unit,
            parameters={"again": True},
        )
    except Refusal as no:
        return unit_page(request, unit, no)
    return redirect("unit", unit)


@signed_in
def photo(request: HttpRequest, photo: UUID) -> HttpResponseBase:
    """A photo, for people who may see its unit."""
    found = Photo.objects.filter(pk=photo).first()
    if found is None:
        raise Http404
    unit_seen(request, found.unit_id)
    try:
        return FileResponse(found.file.open("rb"))
    except FileNotFoundError:
        raise Http404 from None
