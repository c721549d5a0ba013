"""A yard by its events: what it was called, where it was and what it printed, at any time."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import msgspec

from prep.record.site.details import ClosedDay, Details, Logo, Opening
from prep.record.site.events import (
    SiteDescribed,
    SiteHolidaysSet,
    SiteHoursSet,
    SiteLetterheadSet,
    SiteLogoSet,
    SiteOpened,
)


@dataclass(frozen=True)
class YardState:
    """A yard as it stands after some events."""

    code: str
    details: Details
    hours: tuple[Opening, ...] = ()
    country: str = ""
    region: str = ""
    closed: tuple[ClosedDay, ...] = ()
    letterhead: tuple[str, ...] = ()
    logo: Logo | None = None

    @property
    def printed(self) -> tuple[str, ...]:
        """The lines under the dealership's name on documents."""
        address, contact = ", ".join(self.details.address()), " · ".join(self.details.contact())
        return tuple(filter(None, (address, contact, *self.letterhead)))


def folded(events: Iterable[msgspec.Struct]) -> YardState | None:
    """The yard after events of its stream; None where it was not opened. Roles are passed over."""
    yard: YardState | None = None
    for event in events:
        if isinstance(event, SiteOpened):
            details = Details(name=event.name, dealer=event.dealer, time_zone=event.time_zone)
            yard = YardState(event.code, details)
        elif yard is not None:
            yard = _changed(yard, event)
    return yard


def _changed(yard: YardState, event: msgspec.Struct) -> YardState:
    match event:
        case SiteDescribed(details):
            return replace(yard, details=details)
        case SiteHoursSet(hours):
            return replace(yard, hours=hours)
        case SiteHolidaysSet(country, region, closed):
            return replace(yard, country=country, region=region, closed=closed)
        case SiteLetterheadSet(lines):
            return replace(yard, letterhead=lines)
        case SiteLogoSet(logo):
            return replace(yard, logo=logo)
    return yard
