"""Verification of everything: requested from the auditor's page, with progress and report."""

from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from prep.pages.forms import person, signed_in, submission_of, use_time_zone_of
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.inputs.sizes import takes
from prep.record.log.kept_checkpoints import checkpoints_in
from prep.record.refusal import Refusal
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from prep.words.verification.sentences import finding_text, verdict_text
from prep.words.verification.sorts import part_text, sort_title
from prep.words.verification.statements import statement_text
from reports import queue
from reports.models import State
from reports.verification.document import Verification, read

REFRESH: Final = 2  # seconds
LARGEST: Final = 5 * 1024 * 1024  # bytes of a mail that holds a checkpoint
SHOWN: Final = 50  # findings of each kind; the file has all that were listed


@signed_in
@require_POST
@takes(2 * LARGEST)
def request_verification(request: HttpRequest) -> HttpResponse:
    """Request a verification of everything."""
    try:
        older = _kept_checkpoints(request)
        submitted = queue.ask(
            actor=person(request),
            kind="verification",
            command=submission_of(request).id,
            parameters={"older": older} if older else {},
        )
    except Refusal as no:
        return render(
            request,
            "verify_all.html",
            {"refused": refusal_text(no, reader_of(request.user))},
            status=403 if no.code == "not-allowed" else 400,
        )
    return redirect("verification", submitted.pk)


def _kept_checkpoints(request: HttpRequest) -> str:
    """Notes of the checkpoints in what was typed and in the files; Refusal where one holds none."""
    typed = request.POST.get("older", "").encode()
    given = [typed] if typed.strip() else []
    for file in request.FILES.getlist("files"):
        if (file.size or 0) > LARGEST:
            raise Refusal("checkpoint-file-too-large", most=LARGEST // 1024**2)
        given.append(file.read())
    notes: list[str] = []
    for content in given:
        found = checkpoints_in(content)
        if not found:
            raise Refusal("no-checkpoint-inside", field="older")
        notes += found
    return "\n".join(notes)


@signed_in
def verification(request: HttpRequest, document: UUID) -> HttpResponse:
    """Show the progress or the report of a verification. The page refreshes itself meanwhile."""
    row = queue.requests_by(person(request)).filter(kind="verification", pk=document).first()
    if row is None:
        raise Http404
    try:
        queue.roles_for(person(request), row)
    except Refusal as no:  # the role was taken since it was asked for
        raise Http404 from no
    use_time_zone_of(sites_of(person(request)))
    reader = reader_of(request.user)
    page: dict[str, Any] = {
        "asked": row,
        "failure": queue.failure_of(row, reader),
        "shown": SHOWN,
    }
    if row.state == State.DONE:
        try:
            with queue.open_file(row) as opened:
                page |= _in_words(read(opened.read()), reader)
        except Refusal as no:
            page["refused"] = refusal_text(no, reader)
    response = render(request, "verify_all.html", page)
    if row.state in {State.WAITING, State.WORKING}:
        response["Refresh"] = str(REFRESH)
    return response


def _in_words(report: Verification, reader: Reader) -> dict[str, Any]:
    """Template context of a report, in the words of whoever reads the page."""
    return {
        "report": report,
        "verdict": verdict_text(reader, holds=report.holds),
        "proved": [statement_text(one.code, one.values, reader) for one in report.proved],
        "unproven": [statement_text(one.code, one.values, reader) for one in report.unproven],
        "checked": [part_text(one.part, one.count, reader) for one in report.checked],
        "findings": [
            (
                sort_title(kind.kind, reader),
                [finding_text(one.code, one.values, reader) for one in kind.findings],
            )
            for kind in report.findings
        ],
    }
