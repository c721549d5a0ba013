"""Flags of the units a person may see."""

from collections.abc import Iterable

from prep.models import Flag
from prep.queries.paging import Moment, Row, page_of
from prep.queries.units import OF_UNIT


def flags_at(
    sites: Iterable[str],
    *,
    site: str = "",
    still_open: bool | None = None,
    origin: str = "",
    after: Moment | None = None,
    limit: int = 50,
) -> list[Row]:
    """Flags of the units of the sites, newest first, each with its unit."""
    flags = Flag.objects.filter(unit__site_id__in=list(sites))
    if site:
        flags = flags.filter(unit__site=site)
    if still_open is not None:
        flags = flags.filter(open=still_open)
    if origin:
        flags = flags.filter(origin=origin)
    columns = ("id", "origin", "about", "step", "open", "raised", "raised_by", "closed")
    closing = ("closed_by", "concession", "unit")
    return page_of(flags, "raised", after, limit, (*columns, *closing), OF_UNIT)
