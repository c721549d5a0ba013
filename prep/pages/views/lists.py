"""The page of a list: any noun, filtered, searched, in an order, page by page, and exported."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.gzip import gzip_page

from prep.actions.readings.lists import read_all, read_page
from prep.pages.forms import clock_moment, person, signed_in, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.publishing import may_publish
from prep.queries.listing.asker import asker_of, readable
from prep.queries.listing.asking import YES_NO, Asking, asking
from prep.queries.listing.declaration import Asker, Filter, Kind, Listing, Row
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.command import Command
from prep.record.guest.commands import AdmitGuest
from prep.record.manufacturer.commands import AddManufacturer
from prep.record.refusal import Refusal
from prep.words.listings import cell, list_title, name_in_list, token_text
from prep.words.reader import Reader
from reports.lists.all_lists import LISTS
from reports.lists.exports import EXPORTS, export_named, sent_headers

SHOWN: Final = 50
# The page of a row, and the field that names it.
PAGES: Final[Mapping[str, tuple[str, str]]] = {
    "buyers": ("buyer", "id"),
    "guests": ("guest", "id"),
    "instruments": ("instrument", "code"),
}
OF_A_UNIT: Final = "unit"  # the field, or the list of units itself, whose rows lead to a unit
INPUTS: Final[Mapping[Kind, str]] = {Kind.MOMENT: "datetime-local", Kind.DAY: "date"}


@dataclass(frozen=True)
class ShownFilter:
    """A filter as the form shows it: choices with their words, or an input of a type."""

    name: str
    title: str
    value: str
    choices: list[tuple[str, str]]
    input: str


@dataclass(frozen=True)
class ShownRow:
    """A row as the page shows it: its cells, and the address it leads to; empty for none."""

    cells: list[str]
    address: str


@signed_in
def lists(request: HttpRequest) -> HttpResponse:
    """All lists this person may read."""
    reader = reader_of(request.user)
    mine = readable(person(request), LISTS.values())
    shown = [(listing.name, list_title(listing.name, reader)) for listing in mine]
    page = {
        "lists": shown,
        "manufacturers": _may_add_manufacturers(request),
        "devices": "devices" in dict(shown),
        "may_publish": may_publish(request),
        "may_admit": _may_admit(request),
    }
    return render(request, "lists.html", page)


def _may_admit(request: HttpRequest) -> bool:
    return _may_somewhere(request, AdmitGuest)


def _may_add_manufacturers(request: HttpRequest) -> bool:
    return _may_somewhere(request, AddManufacturer)


def _may_somewhere(request: HttpRequest, command: type[Command]) -> bool:
    held = sites_of(person(request)).values()
    return any(command.permission.roles & roles for roles in held)


@gzip_page
@signed_in
def one_list(request: HttpRequest, name: str) -> HttpResponseBase:
    """One list, or all of it as a file."""
    if name not in LISTS or not readable(person(request), [LISTS[name]]):
        raise Http404
    listing = LISTS[name]
    asker = asker_of(person(request), listing)
    use_time_zone_of(asker.sites)
    sent = {key: value.strip() for key, value in request.GET.dict().items()}
    refusal = None
    try:
        asked = _asked(listing, sent)
        if sent.get("export"):
            return _file(sent["export"], asked, asker)
        page = read_page(asked, asker, cursor=sent.get("after", ""), limit=SHOWN)
        rows, cursor = page.rows, page.cursor
    except Refusal as no:
        asked, rows, cursor = asking(listing, {}), [], ""
        refusal = shown_refusal(no, request)
    shown = {
        **_page(asked, asker, sent, rows),
        "refusal": refusal,
        "next": _address(sent, after=cursor) if cursor else "",
    }
    return render(request, "list.html", shown, status=422 if refusal else 200)


def _asked(listing: Listing, sent: Mapping[str, str]) -> Asking:
    """What the form asks for; a moment typed without a zone is by the yard's clock."""
    filters = {one.name: sent.get(one.name, "") for one in listing.filters}
    for one in listing.filters:
        if one.kind is Kind.MOMENT and filters[one.name]:
            filters[one.name] = _with_zone(filters[one.name])
    return asking(listing, filters, words=sent.get("q", ""), order=sent.get("order", ""))


def _with_zone(text: str) -> str:
    """A moment as a list takes it; what is none is left as it was typed, to be refused."""
    moment = clock_moment(text)
    return moment.isoformat() if moment else text


def _file(wanted: str, asked: Asking, asker: Asker) -> HttpResponseBase:
    export = export_named(wanted)
    content = export.write(asked.fields, read_all(asked, asker))
    return StreamingHttpResponse(content, headers=sent_headers(export, asked.listing.name))


def _page(asked: Asking, asker: Asker, sent: Mapping[str, str], rows: list[Row]) -> dict[str, Any]:
    listing, reader = asked.listing, asker.reader
    name, columns = listing.name, listing.shown
    return {
        "name": name,
        "title": list_title(name, reader),
        "heads": [name_in_list(name, column, reader) for column in columns],
        "rows": [
            ShownRow(
                [cell(name, column, row[column], reader) for column in columns],
                _leads_to(listing, row),
            )
            for row in rows
        ],
        "filters": [
            _filter(listing, one, sent, reader)
            for one in listing.filters
            if one.kind is not Kind.ID or sent.get(one.name)
        ],
        "orders": [
            (one.name, name_in_list(name, one.name, reader), one is asked.order)
            for one in listing.orders
        ],
        "searches": listing.search is not None,
        "search": sent.get("q", ""),
        "exports": [(name, _address(sent, export=name)) for name in EXPORTS],
        "first": _address(sent) if sent.get("after") else "",
    }


def _leads_to(listing: Listing, row: Row) -> str:
    """Address of the page of a row, or of the unit it is about."""
    if listing.name in PAGES:
        page, field = PAGES[listing.name]
        return reverse(page, args=[row[field]])
    unit = row.get("id" if listing.name == "units" else OF_A_UNIT)
    return reverse("unit", args=[unit]) if unit else ""


def _filter(listing: Listing, one: Filter, sent: Mapping[str, str], reader: Reader) -> ShownFilter:
    tokens = tuple(YES_NO) if one.kind is Kind.YES_NO else one.choices
    choices = [(token, _choice(listing, one, token, reader)) for token in tokens]
    title = name_in_list(listing.name, one.name, reader)
    value = sent.get(one.name, "")
    return ShownFilter(one.name, title, value, choices, INPUTS.get(one.kind, "text"))


def _choice(listing: Listing, one: Filter, token: str, reader: Reader) -> str:
    if one.kind is Kind.YES_NO:
        return cell(listing.name, one.name, YES_NO[token], reader)
    return token_text(listing.name, one.name, token, reader)


def _address(sent: Mapping[str, str], **changed: str) -> str:
    """The page's own address with something changed, from its beginning unless it says where."""
    kept = {key: value for key, value in sent.items() if key not in {"after", "export"}}
    return "?" + urlencode({key: value for key, value in {**kept, **changed}.items() if value})
