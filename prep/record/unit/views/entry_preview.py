"""Judging an entry against limits without recording it."""

from dataclasses import dataclass
from fractions import Fraction

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import expanded_uncertainty, uncertainty_at_limits
from prep.record.refusal import Refusal, refusal_of_unread
from prep.rules.conformity.judgment import AtLimits, DecisionRule, Interval, Judgment, judge
from prep.rules.drawings.captions import Words
from prep.rules.drawings.guard_band import reading_drawing
from prep.rules.drawings.shapes import Drawing
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import QUANTITIES, Measured, canonical, decimal_text, show


@dataclass(frozen=True)
class Preview:
    """An entry judged. All numbers but `typed` are decimal text in `unit`.

    `low` and `high` are the limits, `accept_low` and `accept_high` the limits of acceptance
    inside the guard bands, `guard_low` and `guard_high` the bands; each is empty where that side is
    open. `decidable` is False where no reading with this instrument can be accepted.
    """

    typed: str
    value: str
    unit: str
    low: str
    high: str
    expanded_uncertainty: str
    guard_low: str
    guard_high: str
    accept_low: str
    accept_high: str
    decidable: bool
    verdict: str
    probability: float
    drawing: Drawing


def judge_entry(
    text: str,
    quantity: str,
    *,
    at_least: str = "",
    at_most: str = "",
    rule: DecisionRule,
    words: Words,
    uncertainty: str = "",
    instrument: InstrumentFacts | None = None,
    decimal_comma: bool | None = None,
) -> Preview:
    """Judge an entry of a quantity against limits, all as typed.

    `uncertainty` is the expanded uncertainty (k = 2) with its unit; without it the instrument's is
    used, and without either it is zero. `words` are those of the drawing. Raises Refusal naming
    the field that cannot be read.
    """
    if quantity not in QUANTITIES:
        raise Refusal("unknown-quantity", field="quantity", typed=quantity, known=tuple(QUANTITIES))
    value = read_entry(text, quantity, "text", decimal_comma).measured
    interval = _interval(
        _bound(at_least, quantity, "at_least", decimal_comma),
        _bound(at_most, quantity, "at_most", decimal_comma),
    )
    unit = canonical(quantity)
    expanded, at_limits = _uncertainties(uncertainty, value, interval, instrument, decimal_comma)
    judgment = judge(value.canonical(), interval, rule, expanded, at_limits)
    canonical_value = Measured(value.canonical(), unit)
    drawing = reading_drawing(canonical_value, judgment, expanded, value.unit, words)
    return _preview(value, interval, expanded, judgment, drawing)


def _preview(
    value: Measured, interval: Interval, expanded: Fraction, judgment: Judgment, drawing: Drawing
) -> Preview:
    acceptance = judgment.acceptance
    return Preview(
        typed=show(value.value, value.unit),
        value=decimal_text(value.canonical()),
        unit=canonical(value.unit.quantity).symbol,
        low=_text(interval.low),
        high=_text(interval.high),
        expanded_uncertainty=decimal_text(expanded, 4),
        guard_low="" if interval.low is None else decimal_text(judgment.guard_bands.low),
        guard_high="" if interval.high is None else decimal_text(judgment.guard_bands.high),
        accept_low=_text(acceptance.low if acceptance else None),
        accept_high=_text(acceptance.high if acceptance else None),
        decidable=judgment.decidable,
        verdict=judgment.verdict.value,
        probability=round(judgment.probability, 4),
        drawing=drawing,
    )


def read_entry(text: str, quantity: str, field: str, decimal_comma: bool | None) -> Typed:
    """Read one typed value; Refusal names the field and gives the choices of an ambiguous text."""
    entry = read(text, quantity, decimal_comma=decimal_comma)
    if isinstance(entry, Typed):
        return entry
    raise refusal_of_unread(entry, field)


def _bound(text: str, quantity: str, field: str, comma: bool | None) -> Fraction | None:
    return read_entry(text, quantity, field, comma).measured.canonical() if text else None


def _interval(low: Fraction | None, high: Fraction | None) -> Interval:
    try:
        return Interval(low, high)
    except ValueError as wrong:
        raise Refusal("limit-unfit", field="at_least") from wrong


def _uncertainties(
    text: str,
    value: Measured,
    interval: Interval,
    instrument: InstrumentFacts | None,
    comma: bool | None,
) -> tuple[Fraction, AtLimits]:
    """Expanded uncertainty of the reading, and at each limit, in the canonical unit."""
    if text:
        stated = read_entry(text, value.unit.quantity, "expanded_uncertainty", comma).measured
        expanded = abs(stated.span_si()) / canonical(value.unit.quantity).factor
        return expanded, AtLimits.same(expanded)
    expanded = expanded_uncertainty(instrument, value.canonical()) if instrument else Fraction(0)
    return expanded, uncertainty_at_limits(instrument, interval)


def _text(value: Fraction | None) -> str:
    return "" if value is None else decimal_text(value)
