"""The yard page: its tiles with their counts, and equal units that are ready instead."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final
from uuid import UUID

from django.db.models import OuterRef, Q, QuerySet, Subquery, Sum

from prep.models import Unit, UnitCount
from prep.queries.listing.asking import asking
from prep.queries.listing.declaration import Asker, Order, Row
from prep.queries.listing.page import ListPage, page_of
from prep.queries.lists.units import UNITS
from prep.queries.registrations import overdue
from prep.record.unit.readiness import Answer
from prep.record.unit.views.facets import FACETS
from prep.record.unit.views.index_rows import RANKS

USUAL: Final = "here"
MOST_COUNTED: Final = 1000  # of what is not kept as a count
Narrowings = Mapping[str, Q]

# Tiles of units in the yard, which an index of its own has in this order.
HERE: Final = frozenset({"here", "stock", "buyer", "promised", "not", "flags"})
ALIKE: Final = Order("alike", ("alike", "readiness_rank", "received"), by_site=True)

# Tiles of the yard page by name, in the order they are shown. `prep.words.yard` has their titles,
# `prep.record.unit.views.facets` the same conditions on one row.
WANTED: Final[Narrowings] = {
    "here": Q(handed_over=None),
    "stock": Q(ready_for_stock=True, buyer="", handed_over=None),
    "buyer": Q(ready_for_buyer=True, handed_over=None),
    "promised": Q(ready_for_buyer=False, handed_over=None) & ~Q(buyer=""),
    "not": Q(ready_for_stock=False, handed_over=None),
    "flags": Q(open_flags__gt=0, handed_over=None),
    "gone": Q(handed_over__isnull=False),
}


def for_the_desk(
    today: Mapping[str, str], units_with_failed_documents: QuerySet[Any, Any]
) -> dict[str, Q]:
    """Further tiles for those who handle documents; `today` is the date at each site.

    The caller says which units have failed documents: documents belong to another layer.
    """
    return {
        "register": Q(registration__in=("due", "refused")),
        "overdue": overdue(today),
        "stuck": Q(pk__in=units_with_failed_documents),
    }


CARD: Final = ",".join(
    (
        *(
            "id",
            "site",
            "serial",
            "former_serials",
            "model_name",
            "options",
            "place",
            "state",
            "alike",
        ),
        *("ready_for_stock", "ready_for_buyer", "first_reason", "reason_count", "open_flags"),
        *("steps_done", "steps_total", "buyer", "tractor", "received"),
        *("registration", "registration_due"),
    )
)


def units_under(
    tile: str, wanted: Q, asker: Asker, *, words: str = "", cursor: str = "", limit: int
) -> ListPage:
    """A page of the units under a tile that a search finds, for cards.

    Equal units stand together, the readiest first, among those in the yard; of others the last
    received come first.
    """
    asked = asking(UNITS, {}, words=words, fields=CARD)
    order = ALIKE if tile in HERE else asked.order
    asked = replace(asked, narrowed=wanted, order=order)
    return page_of(asked, asker, cursor=cursor, limit=limit)


def counts(sites: Iterable[str], narrowings: Narrowings) -> dict[str, int]:
    """Number of units under each tile: those kept as counts, and up to MOST_COUNTED of others."""
    at = list(sites)
    kept = UnitCount.objects.filter(site_id__in=at).values("facet").annotate(units=Sum("units"))
    known = {row["facet"]: row["units"] for row in kept}
    return {
        name: known.get(name, 0) if name in FACETS else _counted(at, wanted)
        for name, wanted in narrowings.items()
    }


def _counted(sites: list[str], wanted: Q) -> int:
    return Unit.objects.filter(wanted, site_id__in=sites).order_by()[:MOST_COUNTED].count()


def ready_instead(sites: Iterable[str], units: Iterable[UUID]) -> dict[UUID, Row]:
    """For each of some units the oldest equal one that is in stock and ready. Two queries.

    Equal is what has the same model and options.
    """
    free = _free(sites).filter(alike=OuterRef("alike")).exclude(pk=OuterRef("pk"))
    oldest = Subquery(free.values("pk")[:1])
    known = Unit.objects.filter(pk__in=list(units)).exclude(alike="")
    instead = dict(known.annotate(instead=oldest).values_list("pk", "instead"))
    wanted = {one for one in instead.values() if one}
    rows = Unit.objects.filter(pk__in=wanted).values("id", "serial", "place", "site")
    found = {row["id"]: dict(row) for row in rows} if wanted else {}
    return {unit: found[one] for unit, one in instead.items() if one in found}


def ready_instead_of(sites: Iterable[str], unit: UUID, most: int) -> list[Row]:
    """The oldest units equal to one that are in stock and ready. Two queries."""
    alike = Unit.objects.filter(pk=unit).values_list("alike", flat=True).get()
    free = _free(sites).filter(alike=alike).exclude(pk=unit) if alike else Unit.objects.none()
    return [dict(row) for row in free.values("id", "serial", "place", "site")[:most]]


def _free(sites: Iterable[str]) -> QuerySet[Unit]:
    """Units in stock that are ready, the oldest first."""
    stock = RANKS[Answer.READY_FOR_STOCK]
    free = Unit.objects.filter(
        handed_over=None, readiness_rank=stock, buyer="", site_id__in=list(sites)
    )
    return free.order_by("received", "id")
