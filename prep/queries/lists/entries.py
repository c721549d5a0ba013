"""The list of entries: readings, choices, checks and settings, corrected ones too."""

from typing import Any, Final

from django.db.models import F, Q, QuerySet

from prep.models import Reading
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
from prep.record.procedure.line import Takes
from prep.record.unit.entries.remarking import LATE_AFTER
from prep.rules.conformity.judgment import CheckAnswer, SettingAnswer, Verdict
from prep.words.unit.limits import kept_limit_text


def _rows(asker: Asker) -> QuerySet[Reading]:
    return Reading.objects.all()


def _limit(stored: Any, asker: Asker) -> str:
    return kept_limit_text(stored, asker.reader)


def _late(value: bool, asker: Asker) -> Q:
    """Entries made long after what they tell of, or the others."""
    late = Q(recorded__gt=F("happened") + LATE_AFTER)
    return late if value else ~late


ENTRIES: Final = Listing(
    name="entries",
    table=Reading,
    read="unit.view",
    rows=_rows,
    site="unit__site_id",
    fields=(
        Field(name="id", kind=Kind.TOKEN),
        Field(name="step", kind=Kind.TOKEN),
        Field(name="line", kind=Kind.TOKEN),
        Field(name="position"),
        Field(name="kind", kind=Kind.TOKEN),
        Field(name="current", kind=Kind.YES_NO),
        Field(name="raw"),
        Field(name="verdict", kind=Kind.TOKEN),
        Field(name="quantity", kind=Kind.TOKEN),
        Field(name="canonical"),
        Field(name="unit_symbol"),
        Field(name="limit", show=_limit),
        Field(name="limit_source"),
        Field(name="instrument", kind=Kind.TOKEN),
        Field(name="instrument_due", kind=Kind.DAY),
        Field(name="person_name"),
        Field(name="happened", kind=Kind.MOMENT),
        Field(name="recorded", kind=Kind.MOMENT),
        *OF_UNIT,
    ),
    shown=(
        "serial",
        "model_name",
        "step",
        "line",
        "position",
        "kind",
        "raw",
        "verdict",
        "limit",
        "instrument",
        "person_name",
        "happened",
    ),
    orders=(Order("newest", ("happened",), descending=True), Order("oldest", ("happened",))),
    filters=(
        equal("site", Kind.TOKEN, "unit__site"),
        equal("unit", Kind.ID),
        equal("instrument", Kind.TOKEN),
        equal("verdict", Kind.TOKEN, choices=(*Verdict, *CheckAnswer, *SettingAnswer)),
        equal("kind", Kind.TOKEN, choices=tuple(Takes)),
        equal("current", Kind.YES_NO),
        Filter(name="late", kind=Kind.YES_NO, condition=_late),
        since("since", "happened"),
        before("before", "happened"),
    ),
    search=contains("person_name", "step", "line", "instrument", *UNIT_SEARCH),
)
