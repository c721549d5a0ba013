"""Advice on a nonconforming reading: what to turn, add or move, and by how much."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.limits import call
from prep.record.unit.state import BoxKey, Record
from prep.rules.catalog.advice import Advice
from prep.rules.conformity.judgment import Verdict
from prep.rules.quantities.quantity import canonical, decimal_text, show, unit

INCH_POUND_FOR: Final = {
    "length": "in",
    "volume": "US qt",
    "torque": "ft·lbf",
    "pressure": "psi",
    "mass": "lb",
    "force": "lbf",
    "power": "hp",
}
INCH_POUND: Final = frozenset(INCH_POUND_FOR.values()) | {
    "ft",
    "US gal",
    "US fl oz",
    "in·lbf",
    "°F",
}


@dataclass(frozen=True)
class Advised:
    """An advice sentence in the unit the person typed, and the computation behind it."""

    text: str
    computed: dict[str, Any]


def advise(record: Record, key: BoxKey) -> Advised | None:
    """Advice on the current reading of a box; None where it conforms or the line has no advice.

    An advice that cannot be computed says why: the reading is valid without it.
    """
    step, line, position = key
    assert record.procedure is not None
    wanted = record.procedure.steps[step].by_line[line].advice
    box = record.boxes.get(key)
    event = box.current.event if box and box.current else None
    if wanted is None or not isinstance(event, ReadingTaken) or not event.value:
        return None
    if event.verdict in {Verdict.CONFORMING, Verdict.NOT_MEASURED}:
        return None
    computed: dict[str, Any] = {}
    try:
        result = call(record, wanted, position, computed, event.limit)
    except Refusal as no:
        return Advised(no.text, {})
    sentences = [one.do.format(amount=_as_typed(one, event)) for one in _advices(result)]
    return Advised(" ".join(sentences), computed) if sentences else None


def _advices(result: Any) -> list[Advice]:
    """The advices in a rule's result: the result itself, several, or its field `advice`."""
    given = getattr(result, "advice", result)
    advices = given if isinstance(given, tuple | list) else (given,)
    return [advice for advice in advices if isinstance(advice, Advice)]


def _as_typed(advice: Advice, event: ReadingTaken) -> str:
    """The amount in the unit typed, or in a unit of its system where the quantity differs."""
    typed, quantity = unit(event.unit), unit(advice.unit).quantity
    wanted = canonical(quantity)
    if typed.quantity == quantity:
        wanted = typed
    elif typed.symbol in INCH_POUND and quantity in INCH_POUND_FOR:
        wanted = unit(INCH_POUND_FOR[quantity])
    start = 0 if advice.span else wanted.offset
    amount = (Fraction(f"{advice.amount:.6g}") - start) / wanted.factor
    return show(Fraction(decimal_text(amount, 3)), wanted)
