"""The yard: what is ready, what stops the rest, which equal unit came first."""

from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from prep.models import Unit
from prep.pages.forms import person, signed_in
from prep.queries.people import sites_of

SHOWN: Final = 200
COLUMNS: Final = (
    "id",
    "site",
    "maker",
    "serial",
    "model",
    "model_name",
    "place",
    "state",
    "ready_for_stock",
    "ready_for_buyer",
    "reasons",
    "steps_done",
    "steps_total",
    "open_flags",
    "buyer",
    "tractor",
    "received",
)
WANTED: Final = {
    "": "everything here",
    "stock": "ready for stock",
    "buyer": "ready for its buyer",
    "not": "not ready",
    "flags": "with open flags",
    "gone": "handed over",
}


@signed_in
def yard(request: HttpRequest) -> HttpResponse:
    """Every unit of the person's yards, equal units together, the oldest of them first."""
    sites = sites_of(person(request))
    wanted, search = request.GET.get("show", ""), request.GET.get("q", "").strip()
    units = _units(list(sites), wanted, search)
    groups: dict[str, list[dict[str, Any]]] = {}
    for unit in units:
        groups.setdefault(unit["model_name"] or "No model yet", []).append(unit)
    return render(
        request,
        "yard.html",
        {
            "groups": groups,
            "count": len(units),
            "wanted": wanted,
            "choices": WANTED,
            "search": search,
            "may_receive": any(_receives(roles) for roles in sites.values()),
        },
    )


def _receives(roles: frozenset[Any]) -> bool:
    return bool({"technician", "service manager", "administrator"} & {str(r) for r in roles})


def _units(sites: list[str], wanted: str, search: str) -> list[dict[str, Any]]:
    found = Unit.objects.filter(site_id__in=sites)
    narrowed = {
        "stock": found.filter(ready_for_stock=True, handed_over=None),
        "buyer": found.filter(ready_for_buyer=True, handed_over=None),
        "not": found.filter(ready_for_stock=False, handed_over=None),
        "flags": found.filter(open_flags__gt=0),
        "gone": found.exclude(handed_over=None),
    }.get(wanted, found.filter(handed_over=None))
    if search:
        narrowed = (
            narrowed.filter(serial__icontains=search)
            | narrowed.filter(model_name__icontains=search)
            | narrowed.filter(tractor__icontains=search)
        )
    rows = [
        dict(row) for row in narrowed.order_by("model_name", "received").values(*COLUMNS)[:SHOWN]
    ]
    now = timezone.now()
    for row in rows:
        row["days"] = (now - row["received"]).days if row["received"] else 0
        row["first_reason"] = row["reasons"][0]["text"] if row["reasons"] else ""
        row["more_reasons"] = max(0, len(row["reasons"]) - 1)
    return rows
