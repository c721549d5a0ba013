"""Values as documents write them, held against the quantity they must be of."""

import re
from typing import Any, Final, NamedTuple

from prep.record.documents.problems import clipped, nearest
from prep.rules.entries.read import Question, Typed
from prep.rules.entries.stated import read_stated
from prep.rules.quantities.plausible import bounds_text, plausible
from prep.rules.quantities.quantity import QUANTITIES, Measured

PERCENT: Final = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,6})?) ?%")


class Fault(NamedTuple):
    """What is wrong with a value whose place is known, its parameters, and what may stand there."""

    code: str
    values: dict[str, Any] = {}
    allowed: tuple[str, ...] = ()


def fault(code: str, allowed: tuple[str, ...] = (), **values: Any) -> Fault:
    """A fault with the values that its sentence names."""
    return Fault(code, values, allowed)


def held(text: str, quantity: str) -> Measured | Fault:
    """The measured value of a text, or what is wrong with it as a value of a quantity."""
    entry = read_stated(text, quantity)
    if isinstance(entry, Typed):
        return entry.measured if plausible(entry.measured) else _implausible(text, quantity)
    if isinstance(entry, Question):
        choices = tuple(choice.label for choice in entry.choices)
        return fault("value-unclear", choices, value=clipped(text))
    if entry.why.code in {"unknown-unit", "unit-of-another-quantity"}:
        typed = str(entry.why.values["unit"])
        units = nearest(typed, tuple(unit.symbol for unit in QUANTITIES[quantity].units))
        return fault("value-unit", units, value=clipped(text), unit=typed, quantity=quantity)
    if entry.why.code == "not-negative":
        return fault("value-negative", value=clipped(text), quantity=quantity)
    return fault("value-unread", value=clipped(text), quantity=quantity)


def held_tolerance(text: str, quantity: str, *, signed: bool) -> Fault | None:
    """What is wrong with a tolerance: per cent of the nominal value, or a width.

    With `signed` it may be below zero, so that both ends lie on one side of the nominal value.
    """
    if text.strip().endswith("%"):
        percent = PERCENT.fullmatch(text.strip())
        if percent is None or float(percent[1]) > 100:
            return fault("tolerance-percent", value=clipped(text))
        return None
    width = held(text, quantity)
    if isinstance(width, Fault):
        return width
    if width.value < 0 and not signed:
        return fault("tolerance-negative", value=clipped(text))
    return None


def _implausible(text: str, quantity: str) -> Fault:
    least, most = bounds_text(quantity)
    return fault("value-implausible", value=clipped(text), least=least, most=most)
