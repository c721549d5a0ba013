"""Yards, and who works there."""

from collections.abc import Iterable

from prep.models import (
    Membership,
    Site,
)
from prep.queries.paging import Row


def named_sites(codes: Iterable[str]) -> list[Site]:
    """Sites by code, in order of name."""
    return list(Site.objects.filter(pk__in=list(codes)).order_by("name"))


def time_zones(codes: Iterable[str]) -> set[str]:
    """Time zones of sites, by their IANA names. One query."""
    return set(Site.objects.filter(pk__in=list(codes)).values_list("time_zone", flat=True))


def member_rows(site: str) -> list[Row]:
    """Who holds which role at a site, by name."""
    found = Membership.objects.filter(site=site).order_by("person__printed_name", "role")
    columns = ("role", "person__username", "person__printed_name")
    return [dict(zip(columns, row, strict=True)) for row in found.values_list(*columns)]
