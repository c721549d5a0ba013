"""The page of one import: how far it is, its problems, and running, stopping and resuming it."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from prep.pages.forms import new_command, person, signed_in, submission_of, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.imports.sending import download, kind_title
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.refusal import Refusal
from prep.words.imports.problems import notice_text
from prep.words.imports.states import import_counts, import_state
from reports import imports, queue
from reports.models import Import, Stage, State

SHOWN: Final = 200  # problems on the page; the file has all

ACTIONS: Final[dict[str, Callable[[Import], None]]] = {
    "run": lambda job: imports.start(job, skip_problems=False),
    "skip": lambda job: imports.start(job, skip_problems=True),
    "stop": imports.stop,
    "resume": imports.resume,
}


@signed_in
@require_GET
def one(request: HttpRequest, import_id: UUID) -> HttpResponse:
    """Show an import."""
    return _page(request, _import(request, import_id))


@signed_in
@require_POST
def act(request: HttpRequest, import_id: UUID, name: str) -> HttpResponse:
    """Run, stop or resume an import."""
    job = _import(request, import_id)
    if name not in ACTIONS:
        raise Http404
    try:
        submission_of(request)  # refused where somebody else is signed in by now
        ACTIONS[name](job)
    except Refusal as no:
        return _page(request, job, no)
    return redirect("import", job.pk)


@signed_in
@require_GET
def problems(request: HttpRequest, import_id: UUID, ending: str) -> HttpResponse:
    """Download the problems of an import."""
    if ending not in imports.MEDIA_TYPES:
        raise Http404
    job = _import(request, import_id)
    content = imports.problem_file(job, reader_of(request.user), ending)
    return download(content, f"problems-{job.pk}", ending)


def _import(request: HttpRequest, import_id: UUID) -> Import:
    try:
        return imports.import_of(person(request), import_id)
    except Refusal as no:
        raise Http404 from no


def _page(request: HttpRequest, job: Import, refusal: Refusal | None = None) -> HttpResponse:
    reader = reader_of(request.user)
    use_time_zone_of([job.site_id] if job.site_id else sites_of(person(request)))
    found = imports.problems_of(job)
    count = found.count()
    moves = job.state in queue.UNFINISHED
    checked = job.stage == Stage.CHECK and job.state == State.DONE
    page: dict[str, Any] = {
        "job": job,
        "title": kind_title(job, reader),
        "state": import_state(job.stage, job.state, reader),
        "counts": import_counts(
            reader, ran=job.stage == Stage.RUN, fit=job.fit, made=job.made, problems=count
        ),
        "notices": [notice_text(note["code"], note["values"], reader) for note in job.notices],
        "failure": queue.failure_of(job, reader),
        "moves": moves,
        "may_run": checked and not count,
        "may_skip": checked and bool(count) and job.fit > 0,
        "stopped": job.state in {State.FAILED, State.CANCELLED},
        "problems": [imports.problem_cells(problem, reader) for problem in found[:SHOWN]],
        "count": count,
        "shown": SHOWN,
        "endings": list(imports.MEDIA_TYPES),
        "refusal": shown_refusal(refusal, request) if refusal else None,
        "new_command": new_command,
    }
    return render(request, "import.html", page, status=409 if refusal else 200)
