"""Audit bundles: the form that requests one, and the bundles requested before."""

from datetime import date, datetime, time, timedelta
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from prep.pages.document_cards import cards_by
from prep.pages.forms import (
    clock_moment,
    new_command,
    person,
    signed_in,
    submission_of,
    text_of,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.queries.sites import named_sites
from prep.record.inputs.spelling import day_of
from prep.record.refusal import Refusal
from reports import queue
from reports.audit.document import yards_of

DAY: Final = timedelta(days=1)


@signed_in
def audit_bundle(request: HttpRequest) -> HttpResponse:
    """Show the page; a POST requests a bundle."""
    if request.method != "POST":
        return audit_bundle_page(request)
    _use_time_zone_of_choice(request)
    try:
        queue.ask(
            actor=person(request),
            kind="audit",
            command=submission_of(request).id,
            parameters=_parameters(request),
        )
    except Refusal as no:
        return audit_bundle_page(request, no)
    return redirect("audit-bundle")


def audit_bundle_page(request: HttpRequest, refusal: Refusal | None = None) -> HttpResponse:
    """The page, with the refusal of a request if there was one."""
    sites = yards_of(person(request))
    if not sites:
        raise Http404
    use_time_zone_of(sites)
    cards = cards_by(person(request), "audit")
    return render(
        request,
        "audit_bundle.html",
        {
            "sites": named_sites(sites),
            "typed": request.POST,
            "refusal": shown_refusal(refusal, request) if refusal else None,
            "papers": cards,
            "papers_move": any(card.moves for card in cards),
            "command_id": request.POST.get("command") or new_command(),
            "new_command": new_command,
        },
        status=409 if refusal else 200,
    )


def _use_time_zone_of_choice(request: HttpRequest) -> None:
    """Days are days in the time zone of the chosen yard, or of all that may be chosen."""
    site = text_of(request, "site")
    use_time_zone_of([site] if site else yards_of(person(request)))


def _parameters(request: HttpRequest) -> dict[str, Any]:
    since, until = _day(request, "since"), _day(request, "until")
    parameters = {
        "site": text_of(request, "site"),
        "since": _start_of(since) if since else None,
        "until": _start_of(until + DAY) - datetime.resolution if until else None,
        "known_at": _moment(request, "known_at"),
        "files": "files" in request.POST,
    }
    return {
        name: value.isoformat() if isinstance(value, datetime) else value
        for name, value in parameters.items()
    }


def _start_of(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.min))


def _day(request: HttpRequest, name: str) -> date | None:
    text = text_of(request, name)
    day = day_of(text)
    if text and day is None:
        raise Refusal("day-unclear", field=name, typed=text)
    return day


def _moment(request: HttpRequest, name: str) -> datetime | None:
    text = text_of(request, name)
    moment = clock_moment(text)
    if text and moment is None:
        raise Refusal("moment-unclear", field=name, typed=text)
    return moment
