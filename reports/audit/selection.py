"""Selection of an audit's units, from the log alone: tables beside it could be altered."""

from datetime import datetime
from typing import Final, NamedTuple

import msgspec
from django.db.models import QuerySet

from prep.models import Event
from prep.record.unit.events import Received, decode
from prep.record.unit.events.identity import PlateCorrected, RecordJoined

UNREADABLE: Final = "(unreadable)"


class Selection(msgspec.Struct, frozen=True):
    """Criteria for units: of these yards, all or those named, with an event in a period.

    Moments carry a time zone; None does not narrow.
    """

    sites: tuple[str, ...]
    units: tuple[str, ...]
    since: datetime | None
    until: datetime | None
    known_at: datetime


class Chosen(NamedTuple):
    """A selected unit: its yard, manufacturer, serial and id."""

    site: str
    maker: str
    serial: str
    id: str


def chosen(selection: Selection, size: int) -> list[Chosen]:
    """Units of a selection within the first `size` log entries, by yard and serial.

    With each come the records that were joined to it. Three queries.
    """
    within = Event.objects.filter(
        stream="unit",
        site__in=selection.sites,
        sealed__position__lt=size,
        recorded__lte=selection.known_at,
    )
    wanted = set(selection.units)
    if selection.since or selection.until:
        active = set(_of_period(within, selection).values_list("stream_id", flat=True).distinct())
        wanted = wanted & active if wanted else active
        if not wanted:
            return []
    wanted |= _joined_to(within, wanted)
    named = within.filter(kind__in=("unit.received", "unit.plate_corrected")).order_by("version")
    last = {
        unit: (site, body)
        for site, unit, body in named.values_list("site", "stream_id", "body").iterator(500)
        if not wanted or unit in wanted
    }
    return sorted(_chosen(site, unit, body) for unit, (site, body) in last.items())


def _joined_to(within: QuerySet[Event], wanted: set[str]) -> set[str]:
    """The records that were joined to those wanted: their histories belong to the machine's."""
    joined = within.filter(kind="unit.record_joined", stream_id__in=wanted)
    events = map(decode, joined.values_list("body", flat=True)) if wanted else ()
    return {event.unit for event in events if isinstance(event, RecordJoined)}


def _of_period(within: QuerySet[Event], selection: Selection) -> QuerySet[Event]:
    if selection.since:
        within = within.filter(recorded__gte=selection.since)
    if selection.until:
        within = within.filter(recorded__lte=selection.until)
    return within


def _chosen(site: str, unit: str, body: str) -> Chosen:
    try:
        event = decode(body)
    except msgspec.DecodeError:
        event = None
    if not isinstance(event, Received | PlateCorrected):
        return Chosen(site, "", UNREADABLE, unit)  # an altered event; the audit must show it
    return Chosen(site, event.maker, event.serial, unit)
