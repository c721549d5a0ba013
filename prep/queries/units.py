"""Units of the sites a person may see."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple
from uuid import UUID

from django.db.models import F, Q

from prep.models import Membership, Person, Unit
from prep.queries.paging import Moment, Row, page_of
from prep.queries.registrations import overdue, stands, today_at
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.rules.identity.look_alikes import look_alike_key

UNIT_COLUMNS: Final = (
    "id",
    "site",
    "maker",
    "serial",
    "place",
    "model",
    "model_name",
    "options",
    "state",
    "version",
    "procedure",
    "revision",
    "ready_for_stock",
    "ready_for_buyer",
    "reasons",
    "steps_done",
    "steps_total",
    "open_flags",
    "buyer",
    "tractor",
    "received",
    "released",
    "handed_over",
    "registration",
    "registration_due",
)


OF_UNIT: Final = MappingProxyType(
    {
        "site": F("unit__site"),
        "maker": F("unit__maker"),
        "serial": F("unit__serial"),
        "state": F("unit__state"),
    }
)


class Seen(NamedTuple):
    """A unit a person may see: its site, its version, and the person's roles at the site."""

    site: str
    version: int
    roles: frozenset[Role]


class Plate(NamedTuple):
    """A unit's machine (manufacturer, serial, model), and the site and dealer that have it."""

    maker: str
    serial: str
    model_name: str
    site: str
    site_name: str
    dealer: str


@dataclass(frozen=True)
class UnitFilter:
    """Filters of a list of units; None and empty do not filter.

    `serial` matches any part of a serial, in upper or lower case; `look_alike` serials that are
    easily mistaken for the one given. `registration` is its state today, “overdue” included.
    """

    site: str = ""
    state: str | None = None
    model: str = ""
    serial: str = ""
    look_alike: str = ""
    buyer: str = ""
    tractor: str = ""
    registration: str = ""
    ready_for_stock: bool | None = None
    ready_for_buyer: bool | None = None
    open_flags: bool | None = None


def seen_by(person: Person, unit: UUID) -> Seen:
    """A unit that a person may see; Refusal where it does not exist or they may not see it."""
    held = Membership.objects.filter(person=person, site__units=unit)
    memberships = list(held.values_list("site_id", "site__units__version", "role"))
    if not memberships:
        raise Refusal("no-such-unit")
    site, version, _ = memberships[0]
    return Seen(site, version, frozenset(Role(role) for _, _, role in memberships))


def units_at(
    sites: Iterable[str], wanted: UnitFilter, *, after: Moment | None = None, limit: int = 50
) -> list[Row]:
    """Rows of the units of the sites that pass a filter, last received first. Two queries."""
    today = today_at(sites)
    units = Unit.objects.filter(_condition(wanted, today), site_id__in=list(sites))
    rows = page_of(units, "received", after, limit, UNIT_COLUMNS)
    return [row | {"registration": stands(row, today)} for row in rows]


def _condition(wanted: UnitFilter, today: Mapping[str, str]) -> Q:
    """The filter as a condition of a query; `today` is the date at each site."""
    columns: dict[str, str | bool | None] = {
        "site": wanted.site or None,
        "state": wanted.state,
        "model": wanted.model or None,
        "buyer": wanted.buyer or None,
        "tractor": wanted.tractor or None,
        "serial__icontains": wanted.serial or None,
        "look_alike_key": look_alike_key(wanted.look_alike) if wanted.look_alike else None,
        "ready_for_stock": wanted.ready_for_stock,
        "ready_for_buyer": wanted.ready_for_buyer,
    }
    condition = Q(**{column: value for column, value in columns.items() if value is not None})
    if wanted.open_flags is not None:
        condition &= Q(open_flags__gt=0) if wanted.open_flags else Q(open_flags=0)
    if wanted.registration:
        condition &= _registered(wanted.registration, today)
    return condition


def _registered(wanted: str, today: Mapping[str, str]) -> Q:
    if wanted == "overdue":
        return overdue(today)
    return Q(registration=wanted) & ~overdue(today)


def plates_of(units: Iterable[UUID]) -> dict[UUID, Plate]:
    """Machine, site and dealer of units, by unit id. One query."""
    rows = Unit.objects.filter(pk__in=set(units))
    columns = ("id", "maker", "serial", "model_name", "site_id", "site__name", "site__dealer")
    return {row[0]: Plate(*row[1:]) for row in rows.values_list(*columns)}
