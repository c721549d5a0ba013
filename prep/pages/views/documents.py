"""Documents and photos: opening them; stopping, retrying and requesting documents."""

from collections.abc import Callable
from io import BytesIO
from typing import Any, Final
from uuid import UUID

from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    HttpResponseNotModified,
)
from django.shortcuts import redirect
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST

from prep.actions.readings.personal import How
from prep.actions.readings.photos import show_photo
from prep.models import Person
from prep.pages.forms import person, signed_in, submission_of, unit_seen
from prep.pages.views.audit.bundle import audit_bundle_page
from prep.pages.views.printing import labels_page
from prep.pages.views.unit import unit_page
from prep.queries.photos import photo as photo_of
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE
from reports import queue
from reports.models import DocumentRequest, State
from reports.queue import ask, cancel, may_stop, remake, retry

ACTIONS: Final[dict[str, Callable[[DocumentRequest, Person], Any]]] = {
    "stop": lambda request, person: cancel(request),
    "retry": lambda request, person: retry(request),
    "remake": remake,
}
Listing = tuple[str, Callable[[HttpRequest, Refusal], HttpResponse]]
AUDITS: Final[Listing] = ("audit-bundle", audit_bundle_page)
YEAR: Final = 31_536_000  # seconds; longer is kept by no cache (RFC 9111, 5.2.2.1)
LABELS: Final[Listing] = ("labels", labels_page)


@signed_in
def document(request: HttpRequest, document: UUID) -> HttpResponseBase:
    """Open a finished document: for people who may see its unit, else for its requester."""
    row = _finished(request, document)
    try:
        file = queue.open_for(person(request), row, How.PAGE)
    except Refusal as no:
        if not row.unit_id:
            raise Http404 from no
        return unit_page(request, row.unit_id, no)
    answer = FileResponse(file, as_attachment=False, filename=row.name, content_type=row.media_type)
    answer["Cache-Control"] = queue.kept_by_browsers(row)
    return answer


@signed_in
def proof_of_issue(request: HttpRequest, document: UUID) -> HttpResponseBase:
    """Download a document's proof of issue: for the same people as the document."""
    row = _finished(request, document)
    try:
        queue.roles_for(person(request), row)
        proof = queue.proof_of_issue(row)
    except Refusal as no:
        if row.unit_id:
            return unit_page(request, row.unit_id, no)
        return (LABELS if row.kind == "labels" else AUDITS)[1](request, no)
    return FileResponse(BytesIO(proof.encode()), as_attachment=True, filename=queue.proof_name(row))


def _finished(request: HttpRequest, document: UUID) -> DocumentRequest:
    """A finished document that whoever asks may open; 404 for others."""
    row = DocumentRequest.objects.filter(pk=document, state=State.DONE).first()
    if row is None:
        raise Http404
    if row.unit_id:
        unit_seen(request, row.unit_id)
        return row
    try:
        queue.roles_for(person(request), row)
    except Refusal as no:
        raise Http404 from no
    return row


@signed_in
@require_POST
def document_command(request: HttpRequest, document: UUID, name: str) -> HttpResponseBase:
    """Stop a document that is being made, retry one that was not made, remake one that is lost."""
    row = DocumentRequest.objects.filter(pk=document).first()
    if row is None or name not in ACTIONS:
        raise Http404
    if row.unit_id is None:
        return _command_without_unit(request, row, name)
    seen = unit_seen(request, row.unit_id)
    try:
        submission_of(request)
        if not may_stop(person(request), row, seen):
            raise Refusal("not-your-document", roles=tuple(sorted(OFFICE)))
        ACTIONS[name](row, person(request))
    except Refusal as no:
        return unit_page(request, row.unit_id, no)
    return redirect("unit", row.unit_id)


def _command_without_unit(
    request: HttpRequest, row: DocumentRequest, name: str
) -> HttpResponseBase:
    """The same for a document that is not of one unit, for its requester only."""
    try:
        queue.roles_for(person(request), row)
    except Refusal as no:
        raise Http404 from no
    address, page = LABELS if row.kind == "labels" else AUDITS
    try:
        submission_of(request)
        ACTIONS[name](row, person(request))
    except Refusal as no:
        return page(request, no)
    return redirect(address)


@signed_in
@require_POST
def register_again(request: HttpRequest, unit: UUID) -> HttpResponseBase:
    """Request the next version of a unit's registration."""
    unit_seen(request, unit)
    try:
        ask(
            actor=person(request),
            kind="registration",
            command=submission_of(request).id,
            unit=unit,
            parameters={"again": True},
        )
    except Refusal as no:
        return unit_page(request, unit, no)
    return redirect("unit", unit)


@signed_in
def photo(request: HttpRequest, photo: UUID, digest: str) -> HttpResponseBase:
    """Show a photo or its small copy, for people who may see its unit, and people on it.

    Its digest is part of the address, so that a browser may keep it for good; one that shows
    people is not kept.
    """
    try:
        row = photo_of(photo)
        seen = unit_seen(request, row.unit_id)
        file = show_photo(person(request), seen, row, digest, How.PAGE)
    except Refusal as no:
        raise Http404 from no
    answer: HttpResponseBase = FileResponse(file, content_type="image/jpeg")
    if f'"{digest}"' in request.headers.get("If-None-Match", ""):
        file.close()
        answer = HttpResponseNotModified()
    answer["ETag"] = f'"{digest}"'
    if not row.people:
        patch_cache_control(answer, private=True, immutable=True, max_age=YEAR)
    return answer
