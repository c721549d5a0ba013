"""The page that takes a file to be imported, with templates to fill in and earlier imports."""

from dataclasses import dataclass
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET

from prep.pages.forms import (
    new_command,
    person,
    signed_in,
    submission_of,
    text_of,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.record.inputs.sizes import takes
from prep.record.refusal import Refusal
from prep.words.imports.states import import_state
from prep.words.reader import Reader, say
from reports import imports
from reports.models import Import

SHOWN: Final = 20


@dataclass(frozen=True)
class KindCard:
    """A kind of import as the page offers it."""

    name: str
    title: str
    explanation: str


@dataclass(frozen=True)
class ImportLine:
    """An earlier import in a list."""

    job: Import
    title: str
    state: str


@signed_in
@takes(imports.MOST_BYTES)
def imports_page(request: HttpRequest) -> HttpResponse:
    """Show the page; a POST sends a file to be checked."""
    if request.method != "POST":
        return _page(request)
    try:
        job = imports.accept(
            actor=person(request),
            kind=text_of(request, "kind"),
            content=_content(request),
            name=_name(request),
            command=submission_of(request).id,
            site=_site(request),
        )
    except Refusal as no:
        return _page(request, no)
    return redirect("import", job.pk)


@signed_in
@require_GET
def template(request: HttpRequest, kind: str, ending: str) -> HttpResponse:
    """Download an empty table with an example row."""
    if kind not in imports.IMPORTS or ending not in imports.MEDIA_TYPES:
        raise Http404
    wanted = imports.import_kind(kind)
    return download(imports.template(wanted, reader_of(request.user), ending), kind, ending)


def download(content: bytes, name: str, ending: str) -> HttpResponse:
    """A table as a download."""
    disposition = content_disposition_header(as_attachment=True, filename=f"{name}.{ending}")
    headers = {"Content-Disposition": str(disposition)}
    return HttpResponse(content, content_type=imports.MEDIA_TYPES[ending], headers=headers)


def kind_title(job: Import, reader: Reader) -> str:
    """What an import is of."""
    return say(reader, imports.import_kind(job.kind).title)


def _page(request: HttpRequest, refusal: Refusal | None = None) -> HttpResponse:
    sites, reader = sites_of(person(request)), reader_of(request.user)
    kinds = imports.kinds_for(sites)
    if not kinds:
        raise Http404
    use_time_zone_of(sites)
    page: dict[str, Any] = {
        "kinds": [
            KindCard(kind.name, say(reader, kind.title), say(reader, kind.explanation))
            for kind in kinds
        ],
        "sites": named_sites(sites),
        "endings": list(imports.MEDIA_TYPES),
        "earlier": [
            ImportLine(job, kind_title(job, reader), import_state(job.stage, job.state, reader))
            for job in imports.imports_by(person(request))[:SHOWN]
        ],
        "typed": request.POST,
        "refusal": shown_refusal(refusal, request) if refusal else None,
        # A refused file gets a new id: the corrected one is another import.
        "command_id": new_command(),
    }
    return render(request, "imports.html", page, status=409 if refusal else 200)


def _site(request: HttpRequest) -> str:
    """The chosen yard, where the kind has one."""
    kind = imports.IMPORTS.get(text_of(request, "kind"))
    return text_of(request, "site") if kind is None or kind.of_site else ""


def _content(request: HttpRequest) -> bytes:
    sent = request.FILES.get("file")
    if sent is None:
        raise Refusal("table-missing", field="file")
    if (sent.size or 0) > imports.MOST_BYTES:
        raise Refusal("table-too-large", field="file", most=imports.MOST_BYTES // 1024**2)
    return bytes(sent.read())


def _name(request: HttpRequest) -> str:
    sent = request.FILES.get("file")
    return (sent.name if sent else "") or ""
