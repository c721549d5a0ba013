"""What is known of a typed value besides its text: the unit chosen beside it, what can be."""

from fractions import Fraction

from prep.record.procedure.line import Line
from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.state import Record
from prep.rules.entries.read import Typed
from prep.rules.quantities.plausible import bounds_text, plausible
from prep.rules.quantities.quantity import QUANTITIES, UNITS, Measured, Unit, show


def chosen_unit(symbol: str, quantity: str) -> Unit | None:
    """The unit chosen beside a text; Refusal unless it is one of the quantity's."""
    known = QUANTITIES[quantity].units
    chosen = next((unit for unit in known if unit.symbol == symbol), None)
    if symbol and chosen is None:
        allowed = tuple(unit.symbol for unit in known)
        raise Refusal("unit-of-another-box", field="unit", unit=symbol, allowed=allowed)
    return chosen


def check_plausible(entry: Typed) -> None:
    """Refuse a value that no machine has: a slip of the pen, or of the unit."""
    if not plausible(entry.measured):
        least, most = bounds_text(entry.measured.unit.quantity)
        raise Refusal("reading-implausible", field="text", typed=entry.raw, least=least, most=most)


def check_extremes(record: Record, step: str, line: Line, position: str, typed: Measured) -> None:
    """Refuse a highest below the lowest: one of them was read at another place."""
    extremes = line.extremes
    if extremes is None or extremes.lowest is None or extremes.highest is None:
        return
    is_lowest = position == extremes.lowest
    other = extremes.highest if is_lowest else extremes.lowest
    box = record.boxes.get((step, line.line, other))
    event = box.current.event if box and box.current else None
    if not isinstance(event, ReadingTaken) or not event.value:
        return
    there = Measured(Fraction(event.value), UNITS[event.unit])
    low, high = (typed, there) if is_lowest else (there, typed)
    if high.canonical() < low.canonical():
        raise Refusal(
            "extremes-crossed",
            field="text",
            lowest=show(low.value, low.unit),
            highest=show(high.value, high.unit),
            other=other,
        )
