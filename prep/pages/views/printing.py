"""Requesting documents to print: labels, blank sheets, certificates in another language."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from prep.pages.document_cards import cards_by
from prep.pages.forms import (
    new_command,
    person,
    signed_in,
    submission_of,
    text_of,
    unit_seen,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.pages.views.unit import unit_page
from prep.queries.listing.asker import asker_of
from prep.queries.lists.units import UNITS
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.yard import USUAL, WANTED, units_under
from prep.record.refusal import Refusal
from prep.words.documents.label_sizes import size_title
from reports import queue
from reports.labels.sizes import SIZES
from reports.registry import kind_named

SHOWN = 60  # units a search offers


@signed_in
@require_POST
def print_of_unit(request: HttpRequest, unit: UUID, kind: str) -> HttpResponse:
    """Request a unit's labels, its blank sheet, or its certificate in another language."""
    unit_seen(request, unit)
    if kind not in PARAMETERS:
        raise Http404
    try:
        queue.ask(
            actor=person(request),
            kind=kind,
            command=submission_of(request).id,
            unit=unit,
            parameters=PARAMETERS[kind](request),
        )
    except Refusal as no:
        return unit_page(request, unit, no)
    return redirect("unit", unit)


@signed_in
def labels_of_many(request: HttpRequest) -> HttpResponse:
    """Show the page of labels for several units; a POST requests them."""
    if request.method != "POST":
        return labels_page(request)
    try:
        queue.ask(
            actor=person(request),
            kind="labels",
            command=submission_of(request).id,
            parameters={**_size(request), "units": request.POST.getlist("units")},
        )
    except Refusal as no:
        return labels_page(request, no)
    return redirect("labels")


def labels_page(request: HttpRequest, refusal: Refusal | None = None) -> HttpResponse:
    """The page, with the refusal of a request if there was one."""
    sites = {
        site: roles
        for site, roles in sites_of(person(request)).items()
        if kind_named("labels").asked_by & roles
    }
    if not sites:
        raise Http404
    use_time_zone_of(sites)
    search = request.GET.get("q", "").strip()
    asker = asker_of(person(request), UNITS)
    cards, reader = cards_by(person(request), "labels"), reader_of(person(request))
    page = {
        "sizes": [(size, size_title(size.name, reader)) for size in SIZES.values()],
        "units": units_under(USUAL, WANTED[USUAL], asker, words=search, limit=SHOWN).rows,
        "search": search,
        "typed": request.POST,
        "picked": request.POST.getlist("units"),
        "refusal": shown_refusal(refusal, request) if refusal else None,
        "papers": cards,
        "papers_move": any(card.moves for card in cards),
        "command_id": request.POST.get("command") or new_command(),
        "new_command": new_command,
    }
    return render(request, "labels.html", page, status=409 if refusal else 200)


def _size(request: HttpRequest) -> dict[str, Any]:
    first = text_of(request, "first")
    if first and not (first.isascii() and first.isdecimal() and len(first) < 4):
        raise Refusal("no-such-place-on-sheet", typed=first)
    return {"size": text_of(request, "size"), "first": int(first or 1)}


def _language(request: HttpRequest) -> dict[str, Any]:
    return {"language": text_of(request, "language")}


# The documents that a unit's page asks for, each with what its form says about it.
PARAMETERS: Final[dict[str, Callable[[HttpRequest], dict[str, Any]]]] = {
    "certificate": _language,
    "labels": _size,
    "sheet": lambda request: {},
}
