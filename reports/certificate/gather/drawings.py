"""Drawings of a certificate: the geometry that a step's limits were computed from.

A picture is drawn from the readings that stand. One whose rule would say something else today than
the limit a reading was held against is left out: what was decided stands, and a picture that
contradicts it would only confuse.
"""

from collections.abc import Iterator
from typing import Any, Final

from prep.record.procedure.document import Step
from prep.record.procedure.line import Computed, Line
from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.limits import call, inputs_of
from prep.record.unit.state import Entry, Record
from prep.rules.answers.drawings_by_rule import DRAWN, WING, drawings, wings
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.drawings.shapes import Drawing
from prep.words.reader import Reader
from prep.words.rules.drawings import DrawingWords
from reports.certificate.facts import Explained

HALVES: Final = frozenset({"outer", "inner"})


def explained(record: Record, reader: Reader) -> tuple[Explained, ...]:
    """Drawings of the sheet, in the order of its steps."""
    words = DrawingWords(reader)
    steps = record.procedure.steps.values() if record.procedure else ()
    return tuple(
        Explained(step.step, f"{step.title}. {drawing.title}", drawing)
        for step in steps
        for drawing in _Geometry(record, step, words).drawings()
    )


class _Geometry:
    """Inputs of one step's computations, by rule and position."""

    def __init__(self, record: Record, step: Step, words: DrawingWords) -> None:
        self.record = record
        self.step = step
        self.words = words
        self.inputs: dict[str, dict[str, dict[str, Any]]] = {}
        self.halves: dict[str, float] = {}
        self.unit = ""
        for line, position in step.boxes:
            box = record.boxes.get((step.step, line, position))
            if box and box.current:
                self._take(step.by_line[line], position, box.current)

    def drawings(self) -> Iterator[Drawing]:
        """Drawings of the step; one of a rule that refuses its inputs is left out."""
        for rule, by_position in self.inputs.items():
            try:
                yield from self._of_rule(rule, list(by_position.values()))
            except RuleRefusal:
                continue

    def _of_rule(self, rule: str, positions: list[dict[str, Any]]) -> Iterator[Drawing]:
        if rule == WING:
            if len(positions) == 2:  # left first, as the procedure lists them
                yield wings(positions[0], positions[1], self.unit, self.words)
            return
        inputs = positions[0]
        result = RULES[rule](**inputs)
        yield from drawings(rule, {**inputs, **self.halves}, result, self.unit, self.words)

    def _take(self, line: Line, position: str, entry: Entry) -> None:
        event = entry.event
        if not isinstance(event, ReadingTaken) or event.quantity != "length":
            return
        for computed in _computations(line):
            try:
                if self._holds(computed, line, position, event):
                    self._note(computed, position, event)
            except Refusal:
                continue  # it could not be worked out; the reading stands without a picture

    def _note(self, computed: Computed, position: str, event: ReadingTaken) -> None:
        inputs = inputs_of(self.record, computed, position, event.limit)
        if inputs.keys() >= HALVES:
            self.halves = {half: inputs[half] for half in HALVES}
        if computed.rule in DRAWN or computed.rule == WING:
            self.unit = self.unit or event.unit
            self.inputs.setdefault(computed.rule, {}).setdefault(position, inputs)

    def _holds(self, computed: Computed, line: Line, position: str, event: ReadingTaken) -> bool:
        """Whether a limit computed today is still the one the reading was judged by."""
        if computed is line.advice or computed.rule not in DRAWN:
            return True
        _, now = call(self.record, computed, position)
        then = event.limit.computed if event.limit else None
        return then is not None and now.result == then.result


def _computations(line: Line) -> Iterator[Computed]:
    """The rules a line's limit and advice name."""
    limit = line.limit
    bounds = (limit.nominal, limit.at_least, limit.at_most) if limit else ()
    for stated in (*bounds, line.advice):
        if isinstance(stated, Computed) and stated.rule:
            yield stated
