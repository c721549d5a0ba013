"""The yard list: units narrowed and counted, and equal units that are ready instead."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from django.db.models import Count, Q, QuerySet

from prep.models import Unit
from prep.queries.registrations import overdue

Row = dict[str, Any]
Narrowings = Mapping[str, Q]
EqualKey = tuple[str, tuple[str, ...]]  # model and options: what makes two units equal

COLUMNS: Final = (
    "id",
    "site",
    "maker",
    "serial",
    "model",
    "model_name",
    "options",
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
    "registration",
    "registration_due",
)
# Filters of the yard list by name, in the order they are shown. `prep.words.yard` has their titles.
WANTED: Final[Narrowings] = {
    "": Q(handed_over=None),
    "stock": Q(ready_for_stock=True, buyer="", handed_over=None),
    "buyer": Q(ready_for_buyer=True, handed_over=None),
    "promised": Q(ready_for_buyer=False, handed_over=None) & ~Q(buyer=""),
    "not": Q(ready_for_stock=False, handed_over=None),
    "flags": Q(open_flags__gt=0, handed_over=None),
    "gone": ~Q(handed_over=None),
}


def for_the_desk(
    today: Mapping[str, str], units_with_failed_documents: QuerySet[Any, Any]
) -> dict[str, Q]:
    """Further filters for those who handle documents; `today` is the date at each site.

    The caller says which units have failed documents: documents belong to another layer.
    """
    return {
        "register": Q(registration__in=("due", "refused")),
        "overdue": overdue(today),
        "stuck": Q(pk__in=units_with_failed_documents),
    }


def counts(sites: Iterable[str], search: str, narrowings: Narrowings) -> dict[str, int]:
    """Number of units that pass each filter. One query."""
    each = {f"n_{name}": Count("pk", filter=q) for name, q in narrowings.items()}
    totals = _searched(sites, search).aggregate(**each)
    return {name: totals[f"n_{name}"] for name in narrowings}


def units_in_yard(
    sites: Iterable[str], wanted: Q, search: str, *, first: int, most: int
) -> list[Row]:
    """Rows of at most `most` units, the first `first` skipped. One query.

    Equal units stand together, ready ones first.
    """
    units = _searched(sites, search).filter(wanted)
    order = ("model_name", "options", "-ready_for_buyer", "-ready_for_stock", "received", "id")
    return list(units.order_by(*order).values(*COLUMNS)[first : first + most])


def equal_and_ready(sites: Iterable[str], models: Iterable[str]) -> dict[EqualKey, list[Row]]:
    """Units of these models that are in stock and ready, by equality, oldest first. One query."""
    free = Unit.objects.filter(WANTED["stock"], site_id__in=list(sites), model__in=list(models))
    groups: dict[EqualKey, list[Row]] = {}
    for row in free.order_by("received", "id").values(*COLUMNS):
        groups.setdefault(equal_key(row), []).append(row)
    return groups


def equal_key(row: Row) -> EqualKey:
    """Key that is the same for equal units: model and options."""
    return row["model"], tuple(row["options"])


def _searched(sites: Iterable[str], search: str) -> QuerySet[Unit]:
    units = Unit.objects.filter(site_id__in=list(sites))
    if search:
        units = units.filter(
            Q(serial__icontains=search)
            | Q(model_name__icontains=search)
            | Q(tractor__icontains=search)
            | Q(place__icontains=search)
        )
    return units
