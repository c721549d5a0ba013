"""The yard page: units with their readiness, reasons, and equal units that are ready."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final
from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page

from prep.pages.forms import person, signed_in
from prep.pages.outages import notices
from prep.pages.refusals import shown_refusal
from prep.pages.refused import shown_not_taken
from prep.queries.events import refused_on_no_unit
from prep.queries.listing.asker import asker_at
from prep.queries.listing.declaration import Row
from prep.queries.listing.page import ListPage
from prep.queries.lists.units import UNITS
from prep.queries.people import sites_of
from prep.queries.yard import USUAL, WANTED, counts, for_the_desk, ready_instead, units_under
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.words.dates import short_day
from prep.words.reader import Reader
from prep.words.unit.states import state_in_row
from prep.words.yard import filter_title, group_title
from reports import imports, queue
from reports.registry import kind_named

SHOWN: Final = 60  # units on a page


@dataclass
class Group:
    """Equal units."""

    name: str
    options: list[str]
    units: list[Row] = field(default_factory=list)


@gzip_page
@signed_in
def yard(request: HttpRequest) -> HttpResponse:
    """Show the units of the person's yards, equal units together."""
    sites = sites_of(person(request))
    asker = asker_at(person(request), sites, UNITS)
    chosen, search = request.GET.get("show", ""), request.GET.get("q", "").strip()
    office = any(may_read("seal.view", roles) for roles in sites.values())
    tiles = dict(WANTED)
    if any(may_read("desk.view", roles) for roles in sites.values()):
        tiles |= for_the_desk(asker.today, queue.units_with_failed_documents())
    chosen = chosen if chosen in tiles else USUAL
    refusal = None
    try:
        cursor = request.GET.get("after", "")
        found = units_under(chosen, tiles[chosen], asker, words=search, cursor=cursor, limit=SHOWN)
    except Refusal as no:
        found, refusal = ListPage([], ""), shown_refusal(no, request)
    matches = counts(sites, tiles)
    page = {
        "outages": notices(asker.reader, sites) if office else (),
        "refusal": refusal,
        "groups": _groups(sites, found.rows, asker.reader),
        "not_taken": [
            shown_not_taken(one, None, request)
            for one in refused_on_no_unit(person(request), sites)
        ],
        "count": None if search else matches[chosen],
        "choices": [
            (
                _address(name, search),
                filter_title(name, asker.reader),
                matches[name],
                name == chosen,
            )
            for name in tiles
        ],
        "wanted": chosen,
        "search": search,
        "first": _address(chosen, search) if request.GET.get("after") else "",
        "after": _address(chosen, search, found.cursor) if found.cursor else "",
        "several_sites": len(sites) > 1,
        "may_label": any(kind_named("labels").asked_by & roles for roles in sites.values()),
        "may_import": bool(imports.kinds_for(sites)),
        "may_receive": any(ReceiveUnit.permission.roles & roles for roles in sites.values()),
    }
    return render(request, "yard.html", page, status=422 if refusal else 200)


def _address(name: str, search: str, cursor: str = "") -> str:
    query = {"show": "" if name == USUAL else name, "q": search, "after": cursor}
    return "?" + urlencode({field: value for field, value in query.items() if value})


def _groups(sites: Mapping[str, Any], units: list[Row], reader: Reader) -> list[Group]:
    instead = ready_instead(sites, [unit["id"] for unit in units if _waits(unit)])
    groups: dict[str, Group] = {}
    for unit in units:
        name = group_title(unit["model_name"], reader)
        group = groups.setdefault(unit["alike"], Group(name, unit["options"]))
        group.units.append(unit | _card(unit, instead, reader))
    return list(groups.values())


def _waits(unit: Row) -> bool:
    """Whether somebody may want an equal unit instead of this one."""
    sold_and_open = unit["buyer"] and not unit["ready_for_buyer"]
    return bool(sold_and_open or not unit["ready_for_stock"])


def _card(unit: Row, instead: Mapping[UUID, Row], reader: Reader) -> dict[str, Any]:
    """Template context of a unit's card: its state, first reason, equal unit."""
    first = unit["first_reason"]
    return {
        "shown": state_in_row(unit, reader),
        "days": (timezone.now() - unit["received"]).days,
        "first_reason": first["text"] if first else "",
        "more_reasons": max(0, unit["reason_count"] - 1),
        "instead": instead.get(unit["id"]),
        "registration_due": short_day(unit["registration_due"], reader),
    }
