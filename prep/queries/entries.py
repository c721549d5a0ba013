"""Readings by the instrument they were taken with."""

from collections.abc import Iterable
from datetime import datetime

from prep.models import Reading
from prep.queries.paging import Moment, Row, page_of
from prep.queries.units import OF_UNIT


def readings_by_instrument(
    sites: Iterable[str],
    instrument: str,
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    after: Moment | None = None,
    limit: int = 50,
) -> list[Row]:
    """Readings taken with an instrument from `since` to `until`, newest first, superseded too.

    Asked when an instrument fails its calibration: which readings, on which units, are in doubt.
    """
    readings = Reading.objects.filter(instrument=instrument, unit__site_id__in=list(sites))
    if since:
        readings = readings.filter(happened__gte=since)
    if until:
        readings = readings.filter(happened__lte=until)
    answer = ("step", "line", "position", "current", "raw", "verdict", "canonical", "unit_symbol")
    about = ("limit", "instrument_due", "person_name", "happened", "recorded", "unit")
    return page_of(readings, "happened", after, limit, ("id", *answer, *about), OF_UNIT)
