"""What is known of a typed value besides its text: the unit chosen beside it, what can be."""

from prep.record.refusal import Refusal
from prep.rules.entries.read import Typed
from prep.rules.quantities.plausible import bounds_text, plausible
from prep.rules.quantities.quantity import QUANTITIES, Unit


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
