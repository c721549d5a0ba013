"""The list of documents of units, and of what somebody asked for themselves."""

from typing import Any, Final

from django.db.models import Q, QuerySet

from prep.queries.listing.declaration import Asker, Field, Kind, Listing, Order, contains, equal
from prep.queries.tokens import asked_by
from reports.models import DocumentRequest, State


def _rows(asker: Asker) -> QuerySet[DocumentRequest]:
    theirs = Q(unit=None) & asked_by(asker.person)
    return DocumentRequest.objects.filter(Q(unit__site_id__in=asker.sites) | theirs)


def _text(value: Any, asker: Asker) -> str:
    return str(value or "")


DOCUMENTS: Final = Listing(
    name="documents",
    table=DocumentRequest,
    read="unit.view",
    rows=_rows,
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="kind", kind=Kind.TOKEN),
        Field(name="number", kind=Kind.TOKEN),
        Field(name="state", kind=Kind.TOKEN),
        Field(name="created", kind=Kind.MOMENT),
        Field(name="finished", kind=Kind.MOMENT),
        Field(name="name"),
        Field(name="media_type", kind=Kind.TOKEN),
        Field(name="digest", kind=Kind.TOKEN),
        Field(name="bytes", kind=Kind.NUMBER),
        Field(name="unit", kind=Kind.ID),
        Field(name="site", kind=Kind.TOKEN, source="unit__site", show=_text),
        Field(name="serial", source="unit__serial", show=_text),
    ),
    shown=("number", "kind", "state", "serial", "created", "finished", "name"),
    orders=(Order("newest", ("created",), descending=True), Order("oldest", ("created",))),
    filters=(
        equal("unit", Kind.ID),
        equal("kind", Kind.TOKEN),
        equal("state", Kind.TOKEN, choices=tuple(State.values)),
        equal("number", Kind.TOKEN),
    ),
    search=contains("number", "name", "unit__serial"),
)
