"""Units as one person may see them."""

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
    """A unit a person may see: where it is, its version, and the roles the person has there."""

    site: str
    version: int
    roles: frozenset[Role]


class Plate(NamedTuple):
    """Which machine a unit is, and whose yard it stands in."""

    maker: str
    serial: str
    model_name: str
    site: str
    site_name: str
    dealer: str


@dataclass(frozen=True)
class UnitFilter:
    """What a list of units is narrowed to; None and empty mean no narrowing.

    `serial` matches any part of a serial, whatever the case; `look_alike` a serial that a glance
    takes for the one given. `registration` is where it stands today, “overdue” among others.
    """

    site: str = ""
    state: str = ""
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
    """A unit as far as a person may see it; Refusal where there is none for them."""
    held = Membership.objects.filter(person=person, site__units=unit)
    found = list(held.values_list("site_id", "site__units__version", "role"))
    if not found:
        raise Refusal("no-such-unit", "There is no such unit.")
    site, version, _ = found[0]
    return Seen(site, version, frozenset(Role(role) for _, _, role in found))


def units_at(
    sites: Iterable[str], wanted: UnitFilter, *, after: Moment | None = None, limit: int = 50
) -> list[Row]:
    """Units of the sites, the last received first, from `after` on. Two queries."""
    today = today_at(sites)
    found = Unit.objects.filter(site_id__in=list(sites))
    for column in ("site", "state", "model", "buyer", "tractor"):
        if value := getattr(wanted, column):
            found = found.filter(**{column: value})
    for column in ("ready_for_stock", "ready_for_buyer"):
        if (value := getattr(wanted, column)) is not None:
            found = found.filter(**{column: value})
    if wanted.open_flags is not None:
        found = found.filter(open_flags__gt=0) if wanted.open_flags else found.filter(open_flags=0)
    if wanted.serial:
        found = found.filter(serial__icontains=wanted.serial)
    if wanted.look_alike:
        found = found.filter(look_alike_key=look_alike_key(wanted.look_alike))
    if wanted.registration:
        found = found.filter(_registered(wanted.registration, today))
    rows = page_of(found, "received", after, limit, UNIT_COLUMNS)
    return [row | {"registration": stands(row, today)} for row in rows]


def _registered(wanted: str, today: Mapping[str, str]) -> Q:
    if wanted == "overdue":
        return overdue(today)
    return Q(registration=wanted) & ~overdue(today)


def plates_of(units: Iterable[UUID]) -> dict[UUID, Plate]:
    """What stands on the plates of units, by unit. One query."""
    found = Unit.objects.filter(pk__in=set(units))
    columns = ("id", "maker", "serial", "model_name", "site_id", "site__name", "site__dealer")
    return {row[0]: Plate(*row[1:]) for row in found.values_list(*columns)}
