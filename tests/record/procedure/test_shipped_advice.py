"""Advice in the shipped procedures: what to turn, add or move, and by how much."""

import copy
from fractions import Fraction

import pytest

from prep.record.procedure.document import Step
from prep.record.procedure.line import Line, Takes
from prep.record.unit.limits import freeze
from prep.record.unit.views.advice import advise
from prep.rules.quantities.quantity import canonical, decimal_text, unit
from prep.words.reader import ENGLISH
from prep.words.reading_advice import advised
from tests.record.procedure.shipped import PROCEDURES, Hand, meant_for, started

CUTTER, CART, CART_2 = "rotary-cutter-r1", "grain-cart-r1", "grain-cart-r2"

# A part that is the wrong one is exchanged, a hot one stopped; there is nothing to turn by so much.
EXCHANGED = {
    *(("clevis", "hole"), ("hitch", "hole"), ("shaft", "splines"), ("shaft", "speed")),
    *(("shaft-1000", "splines"), ("shaft-1000", "speed"), ("tractor-pto", "splines")),
    *(("tractor-pto", "speed"), ("tractor-size", "power"), ("heat", "box"), ("heat", "hot")),
    ("road", "speed"),
}
TYPED_IN = {"torque": "ft·lbf", "length": "in", "volume": "US qt", "pressure": "psi", "mass": "lb"}


@pytest.mark.parametrize("name", sorted(PROCEDURES))
def test_every_limit_that_can_be_adjusted_to_has_an_advice(name: str) -> None:
    """A new line without one is either listed above with its reason or completed.

    Where a tool is set, nothing is measured that could be corrected.
    """
    without = {
        (step.step, line.line)
        for step in PROCEDURES[name].steps.values()
        for line in step.lines
        if line.takes is Takes.READING and line.limit and not line.advice
    }
    assert without <= EXCHANGED


class Careless(Hand):
    """Fills in a sheet, and at each line tries readings outside the limit on a copy."""

    def answer(self, step: Step, line: Line, position: str) -> None:
        if line.advice and position == line.boxes[0]:
            for text in self._off_limit(line, position):
                self._try(step, line, position, text)
        super().answer(step, line, position)

    def _off_limit(self, line: Line, position: str) -> list[str]:
        """A reading below the limit and one above it, in US customary units."""
        limit = freeze(self.record, line, position)
        assert limit is not None
        kept = canonical(line.quantity)
        typed = unit(TYPED_IN.get(line.quantity, kept.symbol))
        ends = [Fraction(end) for end in (limit.low, limit.high) if end]
        room = max((ends[-1] - ends[0]) / 4, abs(ends[-1]) / 50)
        if line.quantity == "count":
            room = Fraction(1)
        wrong = [ends[0] - room] * bool(limit.low) + [ends[-1] + room] * bool(limit.high)
        return [
            f"{decimal_text(value * kept.factor / typed.factor, 6)} {typed.symbol}"
            for value in wrong
            if value >= 0 or ends[0] < 0
        ]

    def _try(self, step: Step, line: Line, position: str, text: str) -> None:
        kept = self.record
        self.record = copy.deepcopy(kept, {id(kept.library): kept.library})
        self.take(step, line, position, text)
        tried, self.record = self.record, kept
        given = advise(tried, (step.step, line.line, position))
        where = f"{step.step}.{line.line} {text}"
        assert given is not None, where
        sentence = advised(given, ENGLISH)
        assert given.computed, f"{where}: {sentence}"
        expected = text.partition(" ")[2]
        assert any(character.isdigit() for character in sentence), where
        if line.advice and line.advice.rule.startswith("correcting."):
            assert f" {expected}" in sentence or line.quantity in {"count", "angle"}, sentence


@pytest.mark.parametrize(
    ("model", "procedure", "tractor"),
    [("LF-RC15", CUTTER, "QM-4110"), ("HM-C10", CART, "DM-T300"), ("HM-C6", CART_2, "QM-7220")],
)
def test_a_reading_off_its_limit_is_advised_by_how_much_in_the_unit_typed(
    model: str, procedure: str, tractor: str
) -> None:
    """Too little and too much on every line of the sheet, each against the limit of this unit."""
    hand = started(model, procedure)
    careless = Careless(hand.record, hand.site, hand.moment, hand.commands, hand.tools)
    careless.work_all(tractor_steps=False)
    meant_for(careless, tractor)
    careless.work_all(tractor_steps=True)


def test_tires_too_hard_are_said_to_need_less_air() -> None:
    """40 psi ± a tolerance: 20 psi over the upper end is 20 psi and half the window too much."""
    hand = started("LF-RC15", CUTTER)
    step = hand.work_until("tires", "pressure")
    line = step.by_line["pressure"]
    limit = freeze(hand.record, line, line.boxes[0])
    assert limit is not None
    kept, typed = canonical("pressure"), unit("psi")
    low, high = (Fraction(end) * kept.factor / typed.factor for end in (limit.low, limit.high))
    hand.take(step, line, line.boxes[0], f"{decimal_text(high + 20, 6)} psi")
    given = advise(hand.record, ("tires", "pressure", line.boxes[0]))
    assert given is not None
    assert f"{decimal_text((high - low) / 2 + 20, 3)} psi" in advised(given, ENGLISH)
