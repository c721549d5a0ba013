"""Drawings of a box: its reading against the limit, its trend, and the geometry of its rules."""

from collections.abc import Iterator
from fractions import Fraction

from prep.record.procedure.line import Computed, Line, rule_calls
from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import decision_rule, inputs_of, interval_of
from prep.record.unit.state import BoxKey, Entry, Record
from prep.rules.answers.drawings_by_rule import DRAWN, WING, drawings, wings
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.conformity.judgment import AtLimits, Interval, Verdict, judge
from prep.rules.drawings.captions import Words
from prep.rules.drawings.guard_band import reading_drawing
from prep.rules.drawings.shapes import Drawing
from prep.rules.drawings.trend import Taken, trend_drawing
from prep.rules.quantities.quantity import UNITS, Measured, Unit, canonical


def among_limits(entry: Entry, words: Words) -> Drawing | None:
    """Drawing of a reading against its limit, in the unit typed.

    None without a limit, and for a conforming reading under simple acceptance.
    """
    event = entry.event
    if not isinstance(event, ReadingTaken) or event.limit is None or not event.canonical:
        return None
    if event.verdict == Verdict.CONFORMING and event.limit.decision == "simple":
        return None
    interval = interval_of(event.limit)
    if interval is None:
        return None
    reading = Measured(Fraction(event.canonical), UNITS[event.canonical_unit])
    uncertainty = Fraction(event.expanded_uncertainty or 0)
    at_limits = AtLimits(
        Fraction(event.uncertainty_low or 0), Fraction(event.uncertainty_high or 0)
    )
    judgment = judge(reading.value, interval, decision_rule(event.limit), uncertainty, at_limits)
    return reading_drawing(reading, judgment, uncertainty, UNITS[event.unit], words)


def over_time(entries: list[Entry], words: Words) -> Drawing | None:
    """Trend of the readings of a box, in the unit typed last; None for fewer than two.

    Entries without a measured value are left out.
    """
    events = [entry.event for entry in entries]
    taken = [event for event in events if isinstance(event, ReadingTaken) and event.canonical]
    if len(taken) < 2:
        return None
    last = taken[-1]
    symbol = UNITS[last.unit]
    points = [Taken(_in(symbol, event.canonical), event.raw, event.verdict) for event in taken]
    interval = _interval_in(symbol, last.limit) if last.limit else None
    return trend_drawing(points, interval, symbol.symbol, words)


def of_rules(
    record: Record, key: BoxKey, line: Line, limit: FrozenLimit | None, words: Words
) -> Iterator[Drawing]:
    """Drawings of the rules of a box's limit and advice, as far as they can be computed."""
    drawn = set()
    for computed in rule_calls(line):
        if computed.rule in drawn:
            continue
        drawn.add(computed.rule)
        try:
            yield from _of_rule(record, key, line, computed, limit, words)
        except (Refusal, RuleRefusal):
            continue  # the limit or the advice says in words why it cannot be computed


def _of_rule(
    record: Record,
    key: BoxKey,
    line: Line,
    computed: Computed,
    limit: FrozenLimit | None,
    words: Words,
) -> Iterator[Drawing]:
    step, _, position = key
    length = _length_unit(record, step)
    if computed.rule == WING and len(line.boxes) == 2 and position == line.boxes[-1]:
        left, right = (inputs_of(record, computed, place, limit) for place in line.boxes)
        yield wings(left, right, length, words)
    if computed.rule in DRAWN:
        inputs = inputs_of(record, computed, position, limit)
        result = RULES[computed.rule](**inputs)
        yield from drawings(computed.rule, inputs, result, length, words)


def _in(symbol: Unit, text: str) -> Fraction:
    """A canonical value as decimal text, converted to another unit of its quantity."""
    return Measured(Fraction(text), canonical(symbol.quantity)).in_unit(symbol)


def _interval_in(symbol: Unit, limit: FrozenLimit) -> Interval | None:
    if interval_of(limit) is None:
        return None
    low, high = (_in(symbol, end) if end else None for end in (limit.low, limit.high))
    return Interval(low, high)


def _length_unit(record: Record, step: str) -> str:
    """Unit in which a length of this step was typed last; millimeters before any was."""
    units = [
        box.entries[-1].event.unit
        for (at, _, _), box in record.boxes.items()
        if at == step and box.entries and isinstance(box.entries[-1].event, ReadingTaken)
    ]
    lengths = [unit for unit in units if unit in UNITS and UNITS[unit].quantity == "length"]
    return lengths[-1] if lengths else "mm"
