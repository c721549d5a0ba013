"""The list of the log's events, of the sites somebody works at and of none."""

from typing import Final

from django.db.models import F, QuerySet

from prep.models import Event
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Kind,
    Listing,
    Order,
    before,
    contains,
    equal,
    since,
)


def _rows(asker: Asker) -> QuerySet[Event]:
    return Event.objects.filter(site__in=(*asker.sites, ""))


LOG: Final = Listing(
    name="log",
    table=Event,
    read="audit.view",
    rows=_rows,
    fields=(
        Field(name="id", kind=Kind.NUMBER),
        Field(name="position", kind=Kind.NUMBER, computed=lambda asker: F("sealed__position")),
        Field(name="stream", kind=Kind.TOKEN),
        Field(name="stream_id", kind=Kind.TOKEN),
        Field(name="version", kind=Kind.NUMBER),
        Field(name="kind", kind=Kind.TOKEN),
        Field(name="body", usual=False),
        Field(name="actor", kind=Kind.TOKEN),
        Field(name="actor_name"),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="device"),
        Field(name="happened", kind=Kind.MOMENT),
        Field(name="recorded", kind=Kind.MOMENT),
        Field(name="command", kind=Kind.ID),
        Field(name="leaf", kind=Kind.TOKEN),
    ),
    shown=("kind", "actor_name", "stream", "stream_id", "recorded", "happened", "device", "site"),
    orders=(Order("newest", (), descending=True), Order("oldest", ())),
    filters=(
        equal("site", Kind.TOKEN),
        equal("stream", Kind.TOKEN),
        equal("stream_id", Kind.TOKEN),
        equal("kind", Kind.TOKEN),
        equal("actor", Kind.TOKEN),
        since("recorded_since", "recorded"),
        before("recorded_before", "recorded"),
    ),
    search=contains("actor_name", "device", "kind"),
)
