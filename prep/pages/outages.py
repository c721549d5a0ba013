"""What is away, on pages: a notice for those who can have it mended, and the page in place of all.

The page in place of all (503) is drawn without a query, a session or a person: what they need may
be what is away. It says the same in every language, because nobody can tell who reads it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils import timezone, translation

from prep.actions.outages.checks import lately
from prep.pages.forms import use_time_zone_of
from prep.record.refusal import Refusal
from prep.words.outages.sentences import AGAIN, LOOK_FIRST, NOT_ANSWERING, outage_text
from prep.words.reader import LANGUAGES, Reader, say
from prep.words.refusals import refusal_text, title


@dataclass(frozen=True)
class InLanguage:
    """What is away, in one language."""

    language: str
    title: str
    text: str
    again: str


def notices(reader: Reader, sites: Iterable[str]) -> list[str]:
    """A sentence for each thing that is away, on the clock of the yards."""
    found = lately()
    if found:
        use_time_zone_of(sites)
    here = replace(reader, time_zone=timezone.get_current_timezone_name())
    return [outage_text(one.code, one.values, here) for one in found]


def page_instead(request: HttpRequest, refusal: Refusal) -> HttpResponse:
    """503: what was asked for cannot be had at the moment."""
    wanted = translation.get_language_from_request(request)
    shown = [
        _in(Reader(language=one), title(refusal.code, Reader(language=one)), refusal)
        for one in sorted(LANGUAGES, key=lambda one: one != wanted)
    ]
    again = request.get_full_path() if request.method == "GET" else ""
    page = render_to_string("503.html", {"languages": shown, "again": again})
    answer = HttpResponse(page, status=HTTPStatus.SERVICE_UNAVAILABLE)
    answer["Retry-After"] = str(refusal.details["seconds"])
    answer["Content-Language"] = ", ".join(one.language for one in shown)
    answer["Cache-Control"] = "no-store"
    return answer


def standing_page() -> str:
    """The page a proxy shows while the service does not answer; it reads well by itself."""
    shown = [
        InLanguage(one, say(reader, NOT_ANSWERING), say(reader, LOOK_FIRST), "")
        for one in LANGUAGES
        for reader in (Reader(language=one),)
    ]
    return render_to_string("503.html", {"languages": shown})


def _in(reader: Reader, titled: str, refusal: Refusal) -> InLanguage:
    return InLanguage(reader.language, titled, refusal_text(refusal, reader), say(reader, AGAIN))
