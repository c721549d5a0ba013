"""Quantities, their units, and exact conversion between them.

Every factor is a `Fraction`, so that 14 in and 355.6 mm are the same number and a value typed in
one unit comes back from another unchanged. Factors: NIST Special Publication 811, appendix B.8
(exact by definition, or products of exact ones). UCUM codes: The Unified Code for Units of Measure.
"""

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final

from prep.rules.quantities.unit_table import ROWS


class UnknownUnitError(KeyError):
    """No unit or quantity goes by this name; the text says which there are."""

    def __str__(self) -> str:
        return str(self.args[0])


class OtherQuantityError(ValueError):
    """A value was asked for in a unit of another quantity."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as shown; SI value = value * factor + offset (the offset is 0 but for temperature)."""

    symbol: str
    quantity: str
    factor: Fraction
    offset: Fraction
    ucum: str


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of measured value, the SI unit rules use and the unit records are stored in."""

    name: str
    si: Unit
    canonical: Unit
    units: tuple[Unit, ...]
    signed: bool

    @property
    def dimensionless(self) -> bool:
        """Whether a bare number is a complete value."""
        return self.name in {"ratio", "count"}


@dataclass(frozen=True, slots=True)
class Measured:
    """A value with its unit, exact."""

    value: Fraction
    unit: Unit

    def si(self) -> Fraction:
        """The value in the SI unit of its quantity."""
        return self.value * self.unit.factor + self.unit.offset

    def in_unit(self, unit: Unit) -> Fraction:
        """The value in another unit of the same quantity; OtherQuantityError if it is not one."""
        if unit == self.unit:
            return self.value
        factor, offset = _between(self.unit.symbol, unit.symbol)
        return self.value * factor + offset if offset else self.value * factor

    def canonical(self) -> Fraction:
        """The value in the unit records are stored in."""
        return self.in_unit(canonical(self.unit.quantity))

    def span_si(self) -> Fraction:
        """A difference (tolerance, uncertainty) in SI: 9 °F of tolerance are 5 K, not 260.9 K."""
        return self.value * self.unit.factor


def _build() -> dict[str, Quantity]:
    quantities = {}
    for name, si_symbol, canonical_symbol, signed, rows in ROWS:
        units = tuple(
            Unit(symbol, name, Fraction(factor), Fraction(offset), ucum)
            for symbol, factor, offset, ucum in rows
        )
        by_symbol = {each.symbol: each for each in units}
        quantities[name] = Quantity(
            name, by_symbol[si_symbol], by_symbol[canonical_symbol], units, signed
        )
    return quantities


QUANTITIES: Final[dict[str, Quantity]] = _build()
UNITS: Final[dict[str, Unit]] = {
    each.symbol: each for quantity in QUANTITIES.values() for each in quantity.units
}


@cache
def _between(symbol: str, wanted: str) -> tuple[Fraction, Fraction]:
    """Factor and offset from one unit to another of the same quantity."""
    given, other = UNITS[symbol], UNITS[wanted]
    if given.quantity != other.quantity:
        raise OtherQuantityError(
            f"{symbol} is a unit of {given.quantity} and {wanted} of "
            f"{other.quantity}: choose a unit of {given.quantity}."
        )
    return given.factor / other.factor, (given.offset - other.offset) / other.factor


def unit(symbol: str) -> Unit:
    """The unit shown as `symbol`; `m^2` and `m^3` may stand for `m²` and `m³`."""
    known = UNITS.get(symbol) or UNITS.get(symbol.replace("^2", "²").replace("^3", "³"))
    if known is None:
        raise UnknownUnitError(f"There is no unit “{symbol}”. The units are: {', '.join(UNITS)}.")
    return known


def canonical(quantity: str) -> Unit:
    """The unit in which records store values of this quantity."""
    return _quantity(quantity).canonical


def si(quantity: str) -> Unit:
    """The unit in which rules compute with this quantity."""
    return _quantity(quantity).si


def _quantity(name: str) -> Quantity:
    try:
        return QUANTITIES[name]
    except KeyError:
        raise UnknownUnitError(
            f"There is no quantity “{name}”. The quantities are: {', '.join(QUANTITIES)}."
        ) from None


def from_si(value: float, unit: Unit, digits: int = 9) -> Measured:
    """A rule's float answer in `unit`, rounded so that 0.35560000000000001 m is 14 in.

    `digits` counts significant digits of the SI value; for a temperature that means of the
    absolute one, so that a float's error near 0 °C does not turn into digits.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that can be shown in {unit.symbol}.")
    exact = Fraction(value)
    size = abs(exact) / unit.factor or Fraction(1)
    quantum = Fraction(10) ** (_exponent(size) - digits + 1)
    return Measured(round((exact - unit.offset) / unit.factor / quantum) * quantum, unit)


def decimal_text(value: Fraction, digits: int = 12) -> str:
    """Plain decimal text: exact if `digits` significant digits hold it, else rounded half to even.

    Never an exponent, never through a float.
    """
    if value.denominator == 1 and abs(value.numerator) < 10**digits:
        return str(value.numerator)
    places = digits - 1 - _exponent(abs(value))
    scaled = str(round(abs(value) * Fraction(10) ** places))
    if places <= 0:
        text = scaled + "0" * -places
    else:
        scaled = scaled.rjust(places + 1, "0")
        text = f"{scaled[:-places]}.{scaled[-places:]}".rstrip("0").rstrip(".")
    return "-" + text if value < 0 else text


def fraction_text(value: Fraction, denominator: int = 64) -> str:
    """The nearest workshop fraction: halves to 64ths, as a mixed number, ties away from zero."""
    parts = math.floor(abs(value) * denominator + Fraction(1, 2))
    whole, rest = divmod(parts, denominator)
    proper = str(Fraction(rest, denominator)) if rest else ""
    text = " ".join(part for part in (str(whole) if whole or not rest else "", proper) if part)
    return "-" + text if value < 0 and parts else text


def show(value: Fraction, unit: Unit, step: Fraction | None = None) -> str:
    """A value for people: `13 7/8 in`, `230.5 N·m`, `40 %`.

    With `step` (the resolution of an instrument or a limit) the value is rounded to it, ties away
    from zero. Without, a value of six significant digits or fewer is shown as it is and any other
    with four, so that nothing typed is altered and nothing computed looks more exact than it is.
    """
    if step is not None:
        steps = math.floor(abs(value) / step + Fraction(1, 2))
        value = steps * step if value >= 0 else -steps * step
    if unit.symbol == "in" and (value * 64).denominator == 1:
        text = fraction_text(value)
    else:
        text = decimal_text(value, 6)
        if step is not None:
            text = decimal_text(value)
        elif value and Fraction(text) != value:
            text = decimal_text(value, max(4, _exponent(abs(value)) + 1))
    return with_unit(text, unit)


def with_unit(number: str, unit: Unit) -> str:
    """A number's text with its unit: `14 in`, `5°`, and nothing for the unit one."""
    if unit.symbol in {"1", "count"}:
        return number
    return f"{number}{'' if unit.symbol == '°' else ' '}{unit.symbol}"


def _exponent(value: Fraction) -> int:
    """The power of ten of a positive value's first digit: 0 for 1 to 9, -1 for 0.1."""
    guess = len(str(value.numerator)) - len(str(value.denominator))
    return guess if value >= Fraction(10) ** guess else guess - 1
