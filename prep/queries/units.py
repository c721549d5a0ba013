"""Lists of units, flags and readings as one person may see them. One query each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Any, Final, NamedTuple
from uuid import UUID

from django.db.models import F, Q, QuerySet

from prep.models import Event, Flag, Membership, Person, Reading, Unit
from prep.queries.registrations import overdue, stands, today_at
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.rules.identity import look_alike_key

Row = dict[str, Any]

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

_OF_UNIT: Final = MappingProxyType(
    {
        "site": F("unit__site"),
        "maker": F("unit__maker"),
        "serial": F("unit__serial"),
        "state": F("unit__state"),
    }
)


class Moment(NamedTuple):
    """Where a page of a list ended: a moment and the id that settles ties."""

    at: datetime
    id: str


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
    rows = _page(found, "received", after, limit, UNIT_COLUMNS)
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


def flags_at(
    sites: Iterable[str],
    *,
    site: str = "",
    still_open: bool | None = None,
    origin: str = "",
    after: Moment | None = None,
    limit: int = 50,
) -> list[Row]:
    """Flags of the units of the sites, the last raised first, with the unit each stands on."""
    found = Flag.objects.filter(unit__site_id__in=list(sites))
    if site:
        found = found.filter(unit__site=site)
    if still_open is not None:
        found = found.filter(open=still_open)
    if origin:
        found = found.filter(origin=origin)
    columns = ("id", "origin", "text", "step", "open", "raised", "raised_by", "closed", "closed_by")
    return _page(found, "raised", after, limit, (*columns, "concession", "unit"), _OF_UNIT)


def readings_by_instrument(
    sites: Iterable[str],
    instrument: str,
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    after: Moment | None = None,
    limit: int = 50,
) -> list[Row]:
    """What an instrument decided, the last first: superseded readings too, `since` to `until`.

    Asked when an instrument turns out unfit: which readings, on which units, are now in doubt.
    """
    found = Reading.objects.filter(instrument=instrument, unit__site_id__in=list(sites))
    if since:
        found = found.filter(happened__gte=since)
    if until:
        found = found.filter(happened__lte=until)
    answer = ("step", "line", "position", "current", "raw", "verdict", "canonical", "unit_symbol")
    about = ("limit_stated", "instrument_due", "person_name", "happened", "recorded", "unit")
    return _page(found, "happened", after, limit, ("id", *answer, *about), _OF_UNIT)


def events_of(unit: UUID, *, after: int = 0, limit: int = 100) -> list[Row]:
    """Events of a unit in order, from the one after version `after` on, with their log position."""
    found = Event.objects.filter(stream="unit", stream_id=str(unit), version__gt=after)
    columns = ("id", "version", "kind", "body", "actor", "actor_name", "device", "happened")
    more = ("recorded", "command", "leaf")
    position = F("sealed__position")
    return list(found.order_by("version").values(*columns, *more, position=position)[:limit])


def leaf_of(event: int, sites: Iterable[str]) -> str:
    """Leaf hash of an event that happened at one of the sites, or that belongs to no site."""
    found = Event.objects.filter(pk=event, site__in=[*sites, ""])
    leaf: str | None = found.values_list("leaf", flat=True).first()
    if leaf is None:
        raise Refusal("no-such-event", "There is no such event.")
    return leaf


def _page(
    found: QuerySet[Any],
    moment: str,
    after: Moment | None,
    limit: int,
    columns: Iterable[str],
    joined: Mapping[str, F] = MappingProxyType({}),
) -> list[Row]:
    """Newest first by a moment that is never null, and by id among equals: no row is lost."""
    if after:
        earlier = Q(**{f"{moment}__lt": after.at})
        found = found.filter(earlier | Q(**{moment: after.at, "id__lt": after.id}))
    return list(found.order_by(f"-{moment}", "-id").values(*columns, **joined)[:limit])
