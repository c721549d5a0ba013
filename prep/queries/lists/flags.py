"""The list of flags."""

from typing import Any, Final

from django.db.models import QuerySet

from prep.models import Flag
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
from prep.queries.lists.of_unit import OF_UNIT, UNIT_SEARCH
from prep.words.unit.flags import kept_flag_text


def _rows(asker: Asker) -> QuerySet[Flag]:
    return Flag.objects.filter(unit__joined_into="")


def _text(about: Any, asker: Asker) -> str:
    return kept_flag_text(about, asker.reader)


FLAGS: Final = Listing(
    name="flags",
    table=Flag,
    read="unit.view",
    rows=_rows,
    site="unit__site_id",
    fields=(
        Field(name="id", kind=Kind.TOKEN),
        Field(name="origin", kind=Kind.TOKEN),
        Field(name="text", source="about", show=_text),
        Field(name="step", kind=Kind.TOKEN),
        Field(name="open", kind=Kind.YES_NO),
        Field(name="raised", kind=Kind.MOMENT),
        Field(name="raised_by"),
        Field(name="closed", kind=Kind.MOMENT),
        Field(name="closed_by"),
        Field(name="concession"),
        *OF_UNIT,
    ),
    shown=(
        "serial",
        "model_name",
        "text",
        "open",
        "raised",
        "raised_by",
        "closed",
        "closed_by",
        "concession",
    ),
    orders=(Order("newest", ("raised",), descending=True), Order("oldest", ("raised",))),
    filters=(
        equal("site", Kind.TOKEN, "unit__site"),
        equal("unit", Kind.ID),
        equal("open", Kind.YES_NO),
        equal("origin", Kind.TOKEN),
        since("raised_since", "raised"),
        before("raised_before", "raised"),
    ),
    search=contains("raised_by", *UNIT_SEARCH),
)
