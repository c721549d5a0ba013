"""The list of units."""

from typing import Any, Final

from django.db.models import Case, CharField, F, Q, QuerySet, Value, When

from prep.models import Buyer, Unit
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    Row,
    before,
    equal,
    since,
)
from prep.queries.registrations import overdue
from prep.record.unit.views.unit_state import UnitState
from prep.rules.identity.look_alikes import look_alike_key
from prep.words.readiness import reason_text
from prep.words.unit.states import state_in_row, state_word

MOST_BUYERS: Final = 200  # whose names a search may match
SHORTEST: Final = 4  # letters of a word that may be part of a state's; shorter ones are in serials
REGISTRATIONS: Final = ("not-due", "due", "overdue", "sent", "accepted", "refused")


def registration_today(asker: Asker) -> Any:
    """Where the warranty registration stands today, “overdue” included."""
    late = When(overdue(asker.today), then=Value("overdue"))
    return Case(late, default=F("registration"), output_field=CharField())


def registered(value: str, asker: Asker) -> Q:
    """Units whose registration stands so today."""
    late = overdue(asker.today)
    return late if value == "overdue" else Q(registration=value) & ~late


def searched(word: str, asker: Asker) -> Q:
    """Units with a word in serial, model, tractor, location, state or, where allowed, the buyer.

    A serial is found by any part of it, and whole by one that a glance may take for it.
    """
    found = Q(look_alike_key=look_alike_key(word))
    for column in ("serial", "former_serials", "maker", "model", "model_name", "tractor", "place"):
        found |= Q(**{f"{column}__icontains": word})
    found |= Q(state__in=_states_called(word, asker))
    if asker.buyers_at:
        named = Buyer.objects.filter(
            site_id__in=asker.buyers_at, erased=None, name__icontains=word
        ).values_list("pk", flat=True)[:MOST_BUYERS]
        found |= Q(buyer__in=[str(buyer) for buyer in named])
    return found


def _states_called(word: str, asker: Asker) -> list[str]:
    """States whose word, in the asker's language, has this one in it; of short words none."""
    if len(word) < SHORTEST:
        return []
    called = {state: state_word(state, asker.reader).casefold() for state in UnitState}
    return [state for state, words in called.items() if word.casefold() in words]


def _rows(asker: Asker) -> QuerySet[Unit]:
    return Unit.objects.all()


def _reason(stored: Any, asker: Asker) -> dict[str, str] | None:
    if stored is None:
        return None
    return {"code": stored["code"], "text": reason_text(stored, asker.reader)}


def _lines(stored: str, asker: Asker) -> list[str]:
    return stored.splitlines()


def _state_words(row: Row, asker: Asker) -> dict[str, str]:
    shown = state_in_row(row, asker.reader)
    return {"word": shown.word, "mark": shown.mark, "tone": shown.tone}


UNITS: Final = Listing(
    name="units",
    table=Unit,
    read="unit.view",
    rows=_rows,
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="maker"),
        Field(name="serial"),
        Field(
            name="former_serials",
            show=lambda stored, _: stored.split("\n") if stored else [],
            kind=Kind.TEXTS,
        ),
        Field(name="place"),
        Field(name="model", kind=Kind.TOKEN),
        Field(name="model_name"),
        Field(name="options", kind=Kind.TEXTS),
        Field(name="state", kind=Kind.TOKEN),
        Field(
            name="state_words",
            kind=Kind.STATE,
            of_row=_state_words,
            reads=("state", "ready_for_stock", "ready_for_buyer", "buyer"),
        ),
        Field(name="version", kind=Kind.NUMBER),
        Field(name="procedure", kind=Kind.TOKEN),
        Field(name="revision", kind=Kind.NUMBER),
        Field(name="ready_for_stock", kind=Kind.YES_NO),
        Field(name="ready_for_buyer", kind=Kind.YES_NO),
        Field(name="first_reason", kind=Kind.REASON, show=_reason),
        Field(name="reason_count", kind=Kind.NUMBER),
        Field(name="steps_done", kind=Kind.NUMBER),
        Field(name="steps_total", kind=Kind.NUMBER),
        Field(name="steps_left", kind=Kind.NUMBER),
        Field(name="open_flags", kind=Kind.NUMBER),
        Field(name="buyer", kind=Kind.TOKEN),
        Field(name="tractor", kind=Kind.TOKEN),
        Field(name="received", kind=Kind.MOMENT),
        Field(name="released", kind=Kind.MOMENT),
        Field(name="handed_over", kind=Kind.MOMENT),
        Field(name="registration", kind=Kind.TOKEN, computed=registration_today),
        Field(name="registration_due", kind=Kind.DAY),
        Field(name="alike", usual=False),
    ),
    shown=(
        "serial",
        "model_name",
        "options",
        "state_words",
        "first_reason",
        "place",
        "site",
        "tractor",
        "received",
        "registration",
    ),
    orders=(
        Order("newest", ("received",), descending=True, by_site=True),
        Order("oldest", ("received",), by_site=True),
        Order("serial", ("serial",)),
        # Ready ones, the oldest first; then those with the least left to do.
        Order("soonest", ("readiness_rank", "steps_left", "received")),
    ),
    filters=(
        equal("site", Kind.TOKEN),
        equal("state", Kind.TOKEN, choices=tuple(UnitState)),
        equal("model", Kind.TOKEN),
        Filter(name="serial", condition=lambda value, _: Q(serial__icontains=value)),
        Filter(
            name="look_alike",
            condition=lambda value, _: Q(look_alike_key=look_alike_key(value)),
        ),
        equal("buyer", Kind.TOKEN),
        equal("tractor", Kind.TOKEN),
        Filter(name="registration", kind=Kind.TOKEN, choices=REGISTRATIONS, condition=registered),
        equal("ready_for_stock", Kind.YES_NO),
        equal("ready_for_buyer", Kind.YES_NO),
        Filter(
            name="open_flags",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(open_flags__gt=0) if value else Q(open_flags=0),
        ),
        Filter(
            name="sold",
            kind=Kind.YES_NO,
            condition=lambda value, _: ~Q(buyer="") if value else Q(buyer=""),
        ),
        Filter(
            name="in_yard",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(handed_over__isnull=value),
        ),
        since("received_since", "received"),
        before("received_before", "received"),
    ),
    search=searched,
)
