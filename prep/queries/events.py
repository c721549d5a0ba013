"""Rows of events for lists."""

from collections.abc import Iterable
from uuid import UUID

from django.db.models import F

from prep.models import Event
from prep.queries.listing.declaration import Row
from prep.record.refusal import Refusal


def events_of(unit: UUID, *, after: int = 0, limit: int = 100) -> list[Row]:
    """Events of a unit after version `after`, in order, with their positions in the log."""
    events = Event.objects.filter(stream="unit", stream_id=str(unit), version__gt=after)
    columns = ("id", "version", "kind", "body", "actor", "actor_name", "device", "happened")
    more = ("recorded", "command", "leaf")
    position = F("sealed__position")
    return list(events.order_by("version").values(*columns, *more, position=position)[:limit])


def leaf_of(event: int, sites: Iterable[str]) -> str:
    """Leaf hash, in hex, of an event of one of the sites or of no site; Refusal for any other."""
    events = Event.objects.filter(pk=event, site__in=[*sites, ""])
    leaf: str | None = events.values_list("leaf", flat=True).first()
    if leaf is None:
        raise Refusal("no-such-event")
    return leaf
