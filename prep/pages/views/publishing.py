"""The page that publishes procedures, models and tractors: checked first, faults by their lines."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.perform import perform
from prep.actions.rehearse import rehearse
from prep.actions.submission import Outcome
from prep.pages.forms import new_command, person, signed_in, submission_of
from prep.pages.refusals import shown_refusal
from prep.queries.people import sites_of
from prep.queries.procedures import newest_revision
from prep.queries.readers import reader_of
from prep.record.commands import publishing
from prep.record.documents.problems import Problem
from prep.record.documents.yaml_text import MOST_BYTES, decoded
from prep.record.procedure.compare import Comparison, compare
from prep.record.procedure.events import ProcedurePublished
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.words.publishing.problems import SHOWN, and_more, counted, problem_text, trail_text
from prep.words.reader import Reader

AROUND: Final = 1  # lines shown before and after one that is wrong


@dataclass(frozen=True)
class ShownFault:
    """A problem as the page shows it, at a column of its line."""

    column: int
    where: str
    text: str


@dataclass(frozen=True)
class ShownLine:
    """A line of the document with what is wrong in it; number 0 stands for lines left out."""

    number: int
    text: str
    faults: tuple[ShownFault, ...]


@dataclass(frozen=True)
class Draft:
    """What would come into force."""

    sort: str
    code: str
    revision: int
    title: str
    comparison: Comparison | None


@signed_in
def publish(request: HttpRequest) -> HttpResponse:
    """Show the form; a POST checks the document, or publishes it once it was checked."""
    if not may_publish(request):
        raise Http404
    if request.method != "POST":
        return _page(request, "")
    text = ""
    try:
        text = _document(request)
        if request.POST.get("act") == "publish":
            return _published(_outcome(request, text))
        draft = _draft(rehearse(publishing(text), actor=person(request)))
    except Refusal as no:
        return _page(request, text, refusal=no)
    return _page(request, text, draft=draft)


def may_publish(request: HttpRequest) -> bool:
    """Whether the person may check and publish documents, by a role at any yard."""
    held = sites_of(person(request)).values()
    return may_read("document.check", frozenset(role for roles in held for role in roles))


def _outcome(request: HttpRequest, text: str) -> Outcome:
    return perform(publishing(text), actor=person(request), submission=submission_of(request))


def _published(outcome: Outcome) -> HttpResponse:
    """The list in which the document now stands."""
    event = outcome.events[-1]
    if isinstance(event, ProcedurePublished):
        return redirect("list", "procedures")
    return redirect("list", "models" if getattr(event, "sort", "") == "machine" else "tractors")


def _document(request: HttpRequest) -> str:
    """The file sent, or else the text of the form."""
    sent = request.FILES.get("file")
    if sent is not None:
        return decoded(bytes(sent.read(MOST_BYTES + 1)))
    return request.POST.get("document", "")


def _draft(outcome: Outcome) -> Draft:
    event: Any = outcome.events[-1]
    if not isinstance(event, ProcedurePublished):
        facts = event.facts
        return Draft(event.sort, facts.code, facts.revision, facts.name, None)
    before, after = newest_revision(event.procedure), event.content()
    comparison = compare(before, after) if before else None
    return Draft("procedure", event.procedure, event.revision, after.title, comparison)


def _page(
    request: HttpRequest, text: str, *, refusal: Refusal | None = None, draft: Draft | None = None
) -> HttpResponse:
    reader = reader_of(request.user)
    page: dict[str, Any] = {
        "text": text,
        "draft": draft,
        "most": MOST_BYTES // 1000,
        "command_id": request.POST.get("command") or new_command(),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    if refusal and refusal.code == "document-unfit":
        problems, count = refusal.details["problems"], refusal.details["count"]
        page |= {
            "counted": counted(count, reader),
            "more": and_more(count - len(problems[:SHOWN]), reader),
            "whole": [_fault(one, reader) for one in problems[:SHOWN] if not one.line],
            "lines": list(_lines(text, problems[:SHOWN], reader)),
        }
    return render(request, "publish.html", page, status=422 if refusal else 200)


def _lines(text: str, problems: tuple[Problem, ...], reader: Reader) -> Iterator[ShownLine]:
    """The lines that are wrong and those around them."""
    source = text.splitlines()
    wrong: dict[int, list[ShownFault]] = {}
    for one in problems:
        if one.line:
            wrong.setdefault(one.line, []).append(_fault(one, reader))
    near = {
        number
        for line in wrong
        for number in range(line - AROUND, line + AROUND + 1)
        if 1 <= number <= max(len(source), line)
    }
    last = 0
    for number in sorted(near):
        if number > last + 1:
            yield ShownLine(0, "", ())
        last = number
        shown = source[number - 1] if number <= len(source) else ""
        yield ShownLine(number, shown, tuple(wrong.get(number, ())))


def _fault(problem: Problem, reader: Reader) -> ShownFault:
    return ShownFault(problem.column, trail_text(problem, reader), problem_text(problem, reader))
