"""The state of a unit: one word, one mark and one tone of each, on every surface.

A state alone does not tell whether the unit is sold, nor whether a released unit is still ready: a
flag may be raised on it afterward. The word does.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from django.utils.translation import gettext_noop as _

from prep.record.unit.readiness import Answer, Readiness, answer_of
from prep.record.unit.state import Record
from prep.record.unit.views.unit_state import UnitState, state_of
from prep.words.reader import Reader, say

Tone = Literal["yes", "half", "no"]

WORDS: Final[dict[UnitState, str]] = {
    UnitState.RECEIVED: _("received"),
    UnitState.IN_PREPARATION: _("in preparation"),
    UnitState.ON_HOLD: _("on hold"),
    UnitState.READY_FOR_STOCK: _("ready for stock"),
    UnitState.READY_FOR_BUYER: _("ready for its buyer"),
    UnitState.RELEASED_FOR_STOCK: _("released to stock"),
    UnitState.RELEASED_FOR_BUYER: _("released for delivery"),
    UnitState.HANDED_OVER: _("handed over"),
    UnitState.JOINED: _("joined into another record"),
}
# The same of a unit that is sold and not ready for its buyer.
SOLD: Final[dict[UnitState, str]] = {
    UnitState.RECEIVED: _("sold, received"),
    UnitState.IN_PREPARATION: _("sold, in preparation"),
    UnitState.ON_HOLD: _("sold, on hold"),
}
TRACTOR_OPEN: Final = _("sold, not matched to the buyer's tractor yet")
# The same of a released unit that is not ready any more.
NO_LONGER_READY: Final[dict[UnitState, str]] = {
    UnitState.RELEASED_FOR_STOCK: _("released to stock, but not ready"),
    UnitState.RELEASED_FOR_BUYER: _("released for delivery, but not ready"),
}
_TONES: Final[dict[Answer, Tone]] = {
    Answer.READY_FOR_BUYER: "yes",
    Answer.READY_FOR_STOCK: "half",
    Answer.NOT_READY: "no",
}
MARKS: Final[dict[Tone, str]] = {"yes": "●", "half": "◐", "no": "○"}


@dataclass(frozen=True)
class ShownState:
    """A unit's state as it is shown.

    `mark` is a shape, so that it does not depend on color; `tone` is yes, half or no: ready for its
    buyer or gone, ready for stock only, not ready.
    """

    word: str
    mark: str
    tone: Tone


def state_word(state: str, reader: Reader) -> str:
    """What a state alone is called."""
    return say(reader, WORDS[UnitState(state)])


def shown_state(state: str, answer: Answer, reader: Reader, *, sold: bool) -> ShownState:
    """A state with the unit's readiness and whether it has a buyer."""
    token = UnitState(state)
    tone: Tone = "yes" if token is UnitState.HANDED_OVER else _TONES[answer]
    text = _text(token, tone, sold=sold)
    return ShownState(say(reader, text), MARKS[tone], tone)


def state_in_row(row: Mapping[str, Any], reader: Reader) -> ShownState:
    """The state of a unit's index row."""
    answer = answer_of(for_stock=row["ready_for_stock"], for_buyer=row["ready_for_buyer"])
    return shown_state(row["state"], answer, reader, sold=bool(row["buyer"]))


def state_in_record(record: Record, answer: Readiness, reader: Reader) -> ShownState:
    """The state of a unit's record."""
    state = state_of(record, answer)
    return shown_state(state, answer.answer, reader, sold=record.buyer is not None)


def _text(state: UnitState, tone: Tone, *, sold: bool) -> str:
    if tone == "yes":
        released_to_stock = state is UnitState.RELEASED_FOR_STOCK  # and sold since
        return WORDS[UnitState.READY_FOR_BUYER if released_to_stock else state]
    if tone == "half":
        return TRACTOR_OPEN if sold else WORDS[state]
    if state in NO_LONGER_READY:
        return NO_LONGER_READY[state]
    return SOLD[state] if sold else WORDS[state]
