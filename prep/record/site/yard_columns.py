"""What an event changes in a yard's index row: its stream writes it, verification expects it."""

from typing import Any

import msgspec

from prep.record.site.events import (
    SiteDescribed,
    SiteHolidaysSet,
    SiteHoursSet,
    SiteLetterheadSet,
    SiteLogoSet,
    SiteOpened,
)


def columns_of(event: msgspec.Struct) -> dict[str, Any]:
    """Columns by name, lists as JSON has them; none for an event about something else."""
    columns: dict[str, Any] = {}
    match event:
        case SiteOpened():
            columns = {name: getattr(event, name) for name in ("name", "time_zone", "dealer")}
        case SiteDescribed(details):
            columns = msgspec.structs.asdict(details)
        case SiteHoursSet(hours):
            columns = {"hours": list(msgspec.to_builtins(hours))}
        case SiteHolidaysSet(country, region, closed):
            days = list(msgspec.to_builtins(closed))
            columns = {"holidays": {"country": country, "region": region, "closed": days}}
        case SiteLetterheadSet(lines):
            columns = {"letterhead": list(lines)}
        case SiteLogoSet(logo):
            columns = {"logo": logo.digest if logo else ""}
    return columns
