"""The yard page: units with their readiness, reasons, and equal units that are ready."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from prep.pages.forms import person, signed_in
from prep.pages.refused import shown_not_taken
from prep.pages.unsealed_notice import unsealed_since
from prep.queries.events import refused_on_no_unit
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.registrations import stands, today_at
from prep.queries.yard import (
    WANTED,
    EqualKey,
    Row,
    counts,
    equal_and_ready,
    equal_key,
    for_the_desk,
    units_in_yard,
)
from prep.record.reads import may_read
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.words.dates import short_day
from prep.words.reader import Reader
from prep.words.readiness import reason_text
from prep.words.unit.states import state_in_row
from prep.words.yard import filter_title, group_title
from reports import queue
from reports.registry import kind_named

SHOWN: Final = 60  # units on a page


@dataclass
class Group:
    """Equal units, and those of them that are ready and not sold."""

    name: str
    options: list[str]
    free: list[Row]
    units: list[Row] = field(default_factory=list)


@signed_in
def yard(request: HttpRequest) -> HttpResponse:
    """Show all units of the person's yards, equal units together."""
    sites, reader = sites_of(person(request)), reader_of(request.user)
    chosen, search = request.GET.get("show", ""), request.GET.get("q", "").strip()
    today = today_at(sites)
    office = any(may_read("seal.view", roles) for roles in sites.values())
    at_desk = any(may_read("desk.view", roles) for roles in sites.values())
    filters = dict(WANTED)
    if at_desk:
        filters |= for_the_desk(today, queue.units_with_failed_documents())
    chosen = chosen if chosen in filters else ""
    matches = counts(sites, search, filters)
    pages = max(1, -(-matches[chosen] // SHOWN))
    page = min(max(_number(request.GET.get("page", "")), 1), pages)
    units = units_in_yard(sites, filters[chosen], search, first=(page - 1) * SHOWN, most=SHOWN)
    return render(
        request,
        "yard.html",
        {
            "unsealed_since": unsealed_since() if office else None,
            "groups": _groups(today, units, reader),
            "not_taken": [
                shown_not_taken(one, None, request)
                for one in refused_on_no_unit(person(request), sites)
            ],
            "count": matches[chosen],
            "choices": [
                (
                    _address(name, search, 1),
                    filter_title(name, reader),
                    matches[name],
                    name == chosen,
                )
                for name in filters
            ],
            "wanted": chosen,
            "search": search,
            "page": page,
            "pages": pages,
            "before": _address(chosen, search, page - 1) if page > 1 else "",
            "after": _address(chosen, search, page + 1) if page < pages else "",
            "several_sites": len(sites) > 1,
            "may_label": any(kind_named("labels").asked_by & roles for roles in sites.values()),
            "may_receive": any(ReceiveUnit.permission.roles & roles for roles in sites.values()),
        },
    )


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 7 else 1


def _address(name: str, search: str, page: int) -> str:
    query = {"show": name, "q": search, "page": page if page > 1 else ""}
    return "?" + urlencode({field: value for field, value in query.items() if value})


def _groups(today: Mapping[str, str], units: list[Row], reader: Reader) -> list[Group]:
    free = equal_and_ready(today, {unit["model"] for unit in units if unit["model"]})
    groups: dict[EqualKey, Group] = {}
    now = timezone.now()
    for unit in units:
        key = equal_key(unit)
        name = group_title(unit["model_name"], reader)
        group = groups.setdefault(key, Group(name, unit["options"], free.get(key, [])))
        card = _card(unit, group.free, (now - unit["received"]).days, reader)
        due = short_day(unit["registration_due"], reader)
        standing = {"registration": stands(unit, today), "registration_due": due}
        group.units.append(unit | card | standing)
    return list(groups.values())


def _card(unit: Row, free: list[Row], days: int, reader: Reader) -> dict[str, Any]:
    """Template context of a unit's card: its state, first reason, equal unit."""
    instead = next((row for row in free if row["id"] != unit["id"]), None)
    waits = unit["buyer"] and not unit["ready_for_buyer"]
    return {
        "shown": state_in_row(unit, reader),
        "days": days,
        "first_reason": reason_text(unit["reasons"][0], reader) if unit["reasons"] else "",
        "more_reasons": max(0, len(unit["reasons"]) - 1),
        "instead": instead if waits or not unit["ready_for_stock"] else None,
    }
