"""Sites, their members and their devices."""

from collections.abc import Iterable
from uuid import UUID

from prep.models import Device, Membership, Site
from prep.queries.listing.declaration import Row


def named_sites(codes: Iterable[str]) -> list[Site]:
    """Sites with these codes, sorted by name."""
    return list(Site.objects.filter(pk__in=list(codes)).order_by("name"))


def time_zones(codes: Iterable[str]) -> set[str]:
    """IANA names of the time zones of sites. One query."""
    return set(Site.objects.filter(pk__in=list(codes)).values_list("time_zone", flat=True))


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
