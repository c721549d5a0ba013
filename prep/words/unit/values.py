"""A reading and its limit in the units people use, rounded as a gauge is read.

A reading is shown in its limit's unit, in the reader's usual unit where there is no limit, and then
in the other system. Whatever is converted is rounded, but never so far that the reading comes to
stand on the other side of its limit.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import Final

from prep.record.unit.frozen_limit import FrozenLimit
from prep.rules.quantities.quantity import (
    Measured,
    Unit,
    canonical,
    show,
    with_unit,
)
from prep.rules.quantities.usual_units import is_us_customary, usual_unit
from prep.words.reader import Reader, say
from prep.words.rules import quantities
from prep.words.unit.limits import (
    AS_READ,
    EXACTLY,
    between,
    first_bound,
    limit_text,
    shown_unit,
    stated_in,
)

MOST_DIGITS: Final = 9
TAPE: Final = (16, 32, 64)  # parts of an inch that a tape or rule is read to

Rounding = Callable[[Fraction], Fraction]
Ends = tuple[Fraction | None, Fraction | None]


@dataclass(frozen=True)
class ShownValue:
    """A reading in its limit's unit, in the other system, and the limit in other units.

    `beside` and `limit_beside` are empty where they would say nothing new.
    """

    stated: str
    unit: Unit
    beside: str
    limit_beside: str


def shown_value(value: Measured, limit: FrozenLimit | None, reader: Reader) -> ShownValue:
    """A reading with its limit, as people read them; `value` in the unit typed."""
    if limit is not None and limit.quantity != value.unit.quantity:
        limit = None
    size = abs(float(value.si()))
    unit = _stated_unit(value.unit.quantity, size, limit, reader)
    other = usual_unit(unit.quantity, size, us=not is_us_customary(unit.symbol))
    stated = _text(_stated(value, unit, limit), unit, reader)
    beside = ""
    if other not in {unit, value.unit}:
        rounded = _rounding(other, value.in_unit(other), _ends(limit, other))
        beside = _text(rounded(value.in_unit(other)), other, reader)
    return ShownValue(stated, unit, beside, _limit_beside(value, limit, other, reader))


def uncertainty_text(expanded: Measured, unit: Unit, reader: Reader) -> str:
    """`±7.2 N·m`: an expanded uncertainty to two significant digits (JCGM 100:2008, 7.2.6).

    It is rounded up, so that it never looks smaller than it is.
    """
    value = expanded.span_si() / unit.factor
    if not value:
        return ""
    place = Fraction(10) ** (_exponent(value) - 1)
    rounded = math.ceil(value / place) * place
    text = f"{float(rounded):.{max(1 - _exponent(rounded), 0)}f}"
    return with_unit(f"±{quantities.number(text, reader)}", unit)


def _limit_beside(value: Measured, limit: FrozenLimit | None, other: Unit, reader: Reader) -> str:
    """The limit once more: in the unit typed, else in the other system's."""
    if limit is None:
        return ""
    stated = limit_text(limit, reader)
    known = {stated, say(reader, EXACTLY, value=stated)}
    unit = next((one for one in (value.unit, other) if not stated_in(limit, one, reader)), None)
    if unit is None:
        return ""
    ends = _ends(limit, unit)
    rounded = _rounding(unit, value.in_unit(unit), ends)
    low, high = (_text(rounded(end), unit, reader) if end is not None else "" for end in ends)
    text = say(reader, EXACTLY, value=low) if low == high else between(low, high, reader)
    return "" if text in known else text


def _stated_unit(quantity: str, size: float, limit: FrozenLimit | None, reader: Reader) -> Unit:
    bound = first_bound(limit) if limit else None
    if bound is not None:
        return shown_unit(bound, reader)
    return usual_unit(quantity, size, us=reader.units == "us")


def _stated(value: Measured, unit: Unit, limit: FrozenLimit | None) -> Fraction:
    """The value in its limit's unit: as typed, or rounded on its side of the limit as stated."""
    if value.unit == unit:
        return value.value
    exact, ends = value.in_unit(unit), _ends(limit, unit)
    side = _side(exact, ends)
    candidates = (rounded(exact) for rounded in _roundings(unit, (exact,)))
    return next((one for one in candidates if _side(one, ends) == side), exact)


def _rounding(unit: Unit, value: Fraction, ends: Ends) -> Rounding:
    """The coarsest rounding that leaves a value on its side of each end, rounded alike."""
    side = _side(value, ends)
    numbers = [number for number in (value, *ends) if number is not None]
    for rounded in _roundings(unit, numbers):
        low, high = (None if end is None else rounded(end) for end in ends)
        collapsed = low == high and ends[0] != ends[1]
        if _side(rounded(value), (low, high)) == side and not collapsed:
            return rounded
    return lambda number: number


def _side(value: Fraction, ends: Ends) -> tuple[bool, bool]:
    low, high = ends
    return low is None or value >= low, high is None or value <= high


def _roundings(unit: Unit, numbers: Sequence[Fraction]) -> Iterator[Rounding]:
    """Roundings of numbers in a unit, the coarsest first."""
    if unit.symbol == "in" and all(abs(number) >= 1 for number in numbers if number):
        for parts in TAPE:
            yield partial(_to_parts, parts=parts)
    for digits in range(AS_READ, MOST_DIGITS + 1):
        yield partial(quantities.to_digits, digits=digits)


def _to_parts(value: Fraction, parts: int) -> Fraction:
    return Fraction(round(value * parts), parts)


def _ends(limit: FrozenLimit | None, unit: Unit) -> Ends:
    """The ends of a limit in a unit, exact."""
    if limit is None:
        return None, None
    judged = canonical(limit.quantity)
    low, high = (
        Measured(Fraction(end), judged).in_unit(unit) if end else None
        for end in (limit.low, limit.high)
    )
    return low, high


def _text(value: Fraction, unit: Unit, reader: Reader) -> str:
    return quantities.number(show(value, unit), reader)


def _exponent(value: Fraction) -> int:
    """The power of ten of a positive value's first digit."""
    return int(f"{float(value):e}".partition("e")[2])
