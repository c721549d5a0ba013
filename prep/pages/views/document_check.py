"""The page on which anybody checks a document, by its number or its file. It needs no sign-in."""

from dataclasses import replace
from itertools import takewhile
from typing import Any, Final

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from prep.pages.reader_language import language_of
from prep.queries import log
from prep.queries.readers import reader_of
from prep.record.inputs.sizes import takes
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.words.documents.standings import MARKS, Tone, file_tone, standing_tone
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from reports.document_check import limits
from reports.document_check.answers import FileStanding, NumberAnswer, Standing
from reports.document_check.files import check_file
from reports.document_check.numbers import check_number

FINDING_TONES: Final[dict[str, Tone]] = {"fails": "no", "unchecked": "half"}  # shown here
STATUS: Final = {RefusalClass.TOO_MANY: 429, RefusalClass.TOO_LARGE: 413}


# Without a token against forged forms: nothing here changes anything, and looking for the token
# would read the whole body, however large.
@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
@takes(limits.LARGEST)
def check(request: HttpRequest, number: str = "") -> HttpResponseBase:
    """Where the document of a number stands; what a file is, held against the number if any.

    Without a number there is a field for one, and what is typed leads to the document's own
    address. An uploaded file is not stored.
    """
    typed = number or request.GET.get("number", "")
    try:
        if request.method == "POST":
            return _file(request, number)
        return _number(request, number, typed) if typed else _page(request)
    except Refusal as no:
        return _refused(request, no, typed)


def _number(request: HttpRequest, number: str, typed: str) -> HttpResponseBase:
    limits.count_number(request.META)
    answer = check_number(typed, _reader(request))
    if answer.standing is Standing.MISSPELLED:
        return _page(request, typed=typed, answer=_shown(answer), status=404)
    if number != answer.number:  # each number has one address
        return redirect("verify", answer.number, permanent=True)
    status = 404 if answer.standing is Standing.UNKNOWN else 200
    return _page(request, typed=typed, answer=_shown(answer), status=status)


def _file(request: HttpRequest, number: str) -> HttpResponse:
    limits.count_file(request.META)
    sent = request.FILES.get("file")
    if sent is None:
        raise Refusal("no-file-sent", field="file")
    answer = check_file(sent, _reader(request), number)
    about = answer.about
    tone = file_tone(answer.standing, about.standing if about else "")
    findings = [
        {"text": one.text, **_look(FINDING_TONES[one.status])}
        for one in answer.findings
        if one.status in FINDING_TONES
    ]
    file = {"answer": answer, "name": sent.name, "findings": findings, **_look(tone)}
    # Beside a file that is not to be relied on nothing says "genuine".
    bare = answer.standing in {FileStanding.ALTERED, FileStanding.UNLISTED}
    return _page(request, typed=number, file=file, answer=about and _shown(about), bare=bare)


def _refused(request: HttpRequest, no: Refusal, typed: str) -> HttpResponse:
    text = refusal_text(no, _reader(request))
    page = _page(request, typed=typed, refusal=text, status=STATUS.get(no.refusal_class, 422))
    if "seconds" in no.details:
        page["Retry-After"] = str(no.details["seconds"])
    return page


def _page(request: HttpRequest, *, status: int = 200, **more: Any) -> HttpResponse:
    proof = {"checkpoint": log.latest_checkpoint(), "keys": log.public_keys()}
    return render(request, "document_check.html", {**proof, **more}, status=status)


def _shown(answer: NumberAnswer) -> dict[str, Any]:
    likely = [_compared(one, answer.number) for one in answer.likely]
    return {"said": answer, "likely": likely, **_look(standing_tone(answer.standing))}


def _compared(number: str, typed: str) -> dict[str, str]:
    """A number with what differs from the typed one apart."""
    start = _alike(number, typed)
    end = len(number) - _alike(number[start:][::-1], typed[start:][::-1])
    parts = {"same": number[:start], "other": number[start:end], "rest": number[end:]}
    return {"number": number, **parts}


def _alike(one: str, other: str) -> int:
    """How many characters two texts begin with alike."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def _look(tone: Tone) -> dict[str, str]:
    """A tone, and its mark, so that it does not depend on color."""
    return {"tone": tone, "mark": MARKS[tone]}


def _reader(request: HttpRequest) -> Reader:
    """Whoever looks, in the language of the page: nobody has to sign in here."""
    return replace(reader_of(request.user), language=language_of(request))
