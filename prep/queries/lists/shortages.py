"""The list of missing parts."""

from typing import Final

from django.db.models import Q, QuerySet

from prep.models import Shortage
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    before,
    contains,
    equal,
    since,
)
from prep.queries.lists.of_unit import OF_UNIT, UNIT_SEARCH


def _rows(asker: Asker) -> QuerySet[Shortage]:
    return Shortage.objects.filter(unit__joined_into="")


SHORTAGES: Final = Listing(
    name="shortages",
    table=Shortage,
    read="unit.view",
    rows=_rows,
    site="unit__site_id",
    fields=(
        Field(name="id", kind=Kind.TOKEN),
        Field(name="part"),
        Field(name="count", kind=Kind.NUMBER),
        Field(name="stops_release", kind=Kind.YES_NO),
        Field(name="expected"),
        Field(name="lent_to"),
        Field(name="noted", kind=Kind.MOMENT),
        Field(name="noted_by"),
        Field(name="arrived", kind=Kind.MOMENT),
        Field(name="arrived_by"),
        *OF_UNIT,
    ),
    shown=(
        "serial",
        "model_name",
        "part",
        "count",
        "expected",
        "stops_release",
        "noted",
        "noted_by",
        "arrived",
    ),
    orders=(Order("newest", ("noted",), descending=True), Order("oldest", ("noted",))),
    filters=(
        equal("site", Kind.TOKEN, "unit__site"),
        equal("unit", Kind.ID),
        Filter(
            name="missing",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(arrived__isnull=value),
        ),
        equal("stops_release", Kind.YES_NO),
        since("noted_since", "noted"),
        before("noted_before", "noted"),
    ),
    search=contains("part", "lent_to", *UNIT_SEARCH),
)
