"""What to do about a nonconforming reading: what to turn, add or move, and by how much."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from prep.record.events import ReadingTaken
from prep.record.limits import call
from prep.record.refusal import Refusal
from prep.record.unit import BoxKey, Record
from prep.rules.advice import Advice
from prep.rules.quantity import canonical, show, unit


@dataclass(frozen=True)
class Advised:
    """A sentence in the unit the person typed, with the computation it comes from."""

    text: str
    computed: dict[str, Any]


def advise(record: Record, key: BoxKey) -> Advised | None:
    """Advice on the reading that stands in a box; None where the line offers none.

    An advice that cannot be worked out says why instead: the reading stands all the same.
    """
    step, line, position = key
    assert record.procedure is not None
    wanted = record.procedure.steps[step].by_line[line].advice
    box = record.boxes.get(key)
    event = box.current.event if box and box.current else None
    if wanted is None or not isinstance(event, ReadingTaken) or not event.value:
        return None
    computed: dict[str, Any] = {}
    try:
        advice = call(record, wanted, position, computed, event.limit)
    except Refusal as no:
        return Advised(no.text, {})
    if advice is None:
        return None
    if not isinstance(advice, Advice):
        return Advised(str(advice), computed)
    return Advised(advice.do.format(amount=_in_typed_unit(advice, event)), computed)


def _in_typed_unit(advice: Advice, event: ReadingTaken) -> str:
    """The amount in the unit typed where it is of the same quantity, else in the record's unit.

    An amount is a difference, so a temperature's offset plays no part.
    """
    quantity = unit(advice.unit).quantity
    wanted = unit(event.unit) if unit(event.unit).quantity == quantity else canonical(quantity)
    amount = Fraction(f"{advice.amount:.4g}") / wanted.factor
    return show(amount, wanted)
