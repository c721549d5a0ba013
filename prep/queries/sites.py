"""Sites, their members and their devices."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final
from uuid import UUID

from prep.models import Device, Event, Membership, Site
from prep.queries.listing.declaration import Row
from prep.record.reference_events import decode
from prep.record.refusal import Refusal
from prep.record.site.state import YardState, folded

# Events of a site that say how it is, and not who works there.
KINDS: Final = (
    *("site.opened", "site.described", "site.hours_set", "site.holidays_set"),
    *("site.letterhead_set", "site.logo_set"),
)


def named_sites(codes: Iterable[str]) -> list[Site]:
    """Sites with these codes, sorted by name."""
    return list(Site.objects.filter(pk__in=list(codes)).order_by("name"))


def time_zones(codes: Iterable[str]) -> set[str]:
    """IANA names of the time zones of sites. One query."""
    return set(Site.objects.filter(pk__in=list(codes)).values_list("time_zone", flat=True))


def yard_at(code: str, *, recorded: datetime | None = None, below: int | None = None) -> YardState:
    """A site as it was on record at a moment, or below a position of the sealed log, or is now.

    Before it was opened it is as it was opened: whatever is read then was entered later. Refusal
    where there is none.
    """
    events = Event.objects.filter(stream="site", stream_id=code).order_by("version")
    first = events.filter(version=1)
    if below is not None:
        events = events.filter(sealed__position__lt=below)
    if recorded is not None:
        events = events.filter(recorded__lte=recorded)
    bodies = events.filter(kind__in=KINDS).values_list("body", flat=True)
    opened = first.values_list("body", flat=True)
    yard = folded(map(decode, bodies)) or folded(map(decode, opened))
    if yard is None:
        raise Refusal("no-such-site", field="site")
    return yard


def site_of_unit(unit: UUID) -> str:
    """Code of the site a unit is at."""
    return Site.objects.values_list("code", flat=True).get(units=unit)


def time_zone_of(unit: UUID) -> str:
    """IANA name of the time zone of the site a unit is at."""
    return Site.objects.get(units=unit).time_zone


def dealership_of(unit: UUID) -> str:
    """Name of the dealership at whose site a unit is."""
    return Site.objects.get(units=unit).dealer


def member_rows(site: str) -> list[Row]:
    """Rows of the members of a site and their roles, sorted by name."""
    members = Membership.objects.filter(site=site).order_by("person__printed_name", "role")
    columns = ("role", "person__username", "person__printed_name")
    return [dict(zip(columns, row, strict=True)) for row in members.values_list(*columns)]


def devices_at(sites: Iterable[str]) -> dict[str, list[Device]]:
    """The devices of these yards by the yard's code, those in use first. One query."""
    found: dict[str, list[Device]] = {}
    rows = Device.objects.filter(site_id__in=list(sites)).order_by("name", "id")
    for device in sorted(rows, key=lambda one: one.revoked is not None):
        found.setdefault(device.site_id, []).append(device)
    return found


def is_enrolled(name: str, other_than: str) -> bool:
    """Whether a name that a device gives itself is the id of another one than it proved to be."""
    try:
        named = UUID(name)
    except ValueError:
        return False
    return str(named) != other_than and Device.objects.filter(pk=named).exists()
