"""Verifying everything from the auditor's page: asked for, followed while it runs, and read."""

from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from prep.pages.forms import command_of, person, signed_in
from prep.record.refusal import Refusal
from reports import queue
from reports.models import State
from reports.verification.document import read

LOOK_AGAIN: Final = 2  # seconds
SHOWN: Final = 50  # findings a kind; the file has all that were listed


@signed_in
@require_POST
def ask(request: HttpRequest) -> HttpResponse:
    """Have everything verified."""
    # A text field ends its lines with CR LF; a note has LF, and its last line ends with one.
    older = request.POST.get("older", "").replace("\r\n", "\n").strip()
    try:
        asked = queue.ask(
            actor=person(request),
            kind="verification",
            command=command_of(request).id,
            parameters={"older": f"{older}\n"} if older else {},
        )
    except Refusal as no:
        return render(request, "verify_all.html", {"refused": no.text}, status=403)
    return redirect("verification", asked.pk)


@signed_in
def look(request: HttpRequest, document: UUID) -> HttpResponse:
    """How far a verification is, and what it found. The page looks again by itself meanwhile."""
    asked = queue.requests_by(person(request)).filter(kind="verification", pk=document).first()
    if asked is None:
        raise Http404
    page: dict[str, Any] = {"asked": asked, "shown": SHOWN}
    if asked.state == State.DONE:
        try:
            with queue.open_file(asked) as opened:
                page["report"] = read(opened.read())
        except Refusal as no:
            page["refused"] = no.text
    answer = render(request, "verify_all.html", page)
    if asked.state in {State.WAITING, State.WORKING}:
        answer["Refresh"] = str(LOOK_AGAIN)
    return answer
