"""Sites and their members."""

from collections.abc import Iterable
from uuid import UUID

from prep.models import Membership, Site
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
