"""Advice on a nonconforming reading: what to turn, add or move, and by how much."""

from dataclasses import dataclass
from typing import Any

from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.frozen_limit import Computation
from prep.record.unit.limits import call
from prep.record.unit.state import BoxKey, Record
from prep.rules.catalog.advice import Advice
from prep.rules.conformity.judgment import Verdict
from prep.rules.quantities.quantity import unit


@dataclass(frozen=True)
class Advised:
    """Advice on a reading, the unit the person typed, and the computation behind it.

    Without advice, `refused` says why it cannot be computed. `prep.words` has the sentences.
    """

    advice: tuple[Advice, ...]
    typed_unit: str
    computed: Computation | None
    refused: Refusal | None = None

    @property
    def typed_units(self) -> dict[str, str]:
        """The unit typed, by its quantity."""
        return {unit(self.typed_unit).quantity: self.typed_unit}


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
    try:
        result, computed = call(record, wanted, position, event.limit)
    except Refusal as no:
        return Advised((), event.unit, None, no)
    advices = _advices(result)
    return Advised(advices, event.unit, computed) if advices else None


def _advices(result: Any) -> tuple[Advice, ...]:
    """The advices in a rule's result: the result itself, several, or its field `advice`."""
    given = getattr(result, "advice", result)
    advices = given if isinstance(given, tuple | list) else (given,)
    return tuple(advice for advice in advices if isinstance(advice, Advice))
