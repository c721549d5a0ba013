"""Events as they are listed."""

from collections.abc import Iterable
from uuid import UUID

from django.db.models import F

from prep.models import Event
from prep.queries.paging import Row
from prep.record.refusal import Refusal


def events_of(unit: UUID, *, after: int = 0, limit: int = 100) -> list[Row]:
    """Events of a unit in order, from the one after version `after` on, with their log position."""
    found = Event.objects.filter(stream="unit", stream_id=str(unit), version__gt=after)
    columns = ("id", "version", "kind", "body", "actor", "actor_name", "device", "happened")
    more = ("recorded", "command", "leaf")
    position = F("sealed__position")
    return list(found.order_by("version").values(*columns, *more, position=position)[:limit])


def leaf_of(event: int, sites: Iterable[str]) -> str:
    """Leaf hash of an event that happened at one of the sites, or that belongs to no site."""
    found = Event.objects.filter(pk=event, site__in=[*sites, ""])
    leaf: str | None = found.values_list("leaf", flat=True).first()
    if leaf is None:
        raise Refusal("no-such-event", "There is no such event.")
    return leaf
