"""Numbers and quantities as a gauge is read, in the reader's units and number style."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.phrase import Amount
from prep.rules.quantities.quantity import (
    Unit,
    decimal_text,
    from_si,
    show,
    with_unit,
)
from prep.rules.quantities.quantity import unit as unit_called
from prep.rules.quantities.usual_units import is_us_customary, usual_unit
from prep.words.reader import Reader, say

FEWEST_DIGITS: Final = 4
MOST_DIGITS: Final = 9

NAMES: Final[dict[str, str]] = {
    "length": _("length"),
    "area": _("area"),
    "volume": _("volume"),
    "mass": _("weight"),
    "force": _("force"),
    "torque": _("torque"),
    "pressure": _("pressure"),
    "angle": _("angle"),
    "slope": _("slope"),
    "rotation": _("rotational speed"),
    "angular speed": _("angular speed"),
    "angular acceleration": _("angular acceleration"),
    "speed": _("speed"),
    "temperature": _("temperature"),
    "time": _("time"),
    "power": _("power"),
    "energy": _("energy"),
    "flow": _("flow"),
    "viscosity": _("viscosity"),
    "dynamic viscosity": _("dynamic viscosity"),
    "density": _("density"),
    "particles": _("particle count"),
    "thermal expansion": _("thermal expansion"),
    "voltage": _("voltage"),
    "current": _("current"),
    "ratio": _("ratio"),
    "count": _("count"),
}


def name(quantity: str, reader: Reader) -> str:
    """What a quantity is called."""
    return say(reader, NAMES[quantity])


def number(text: str, reader: Reader) -> str:
    """A number's text in the reader's number style."""
    return text.replace(".", ",") if reader.decimal_comma else text


def to_digits(value: Fraction, digits: int) -> Fraction:
    """A value to so many significant digits, its whole part kept."""
    return Fraction(decimal_text(value, max(digits, len(str(int(abs(value)))))))


def amount(shown: Amount, reader: Reader, digits: int = FEWEST_DIGITS, unit: str = "") -> str:
    """An amount in `unit`, or in the reader's usual unit, to so many digits if it has more.

    A number of six digits or fewer is shown as it is, unless fewer than four are asked for.
    """
    given = unit_called(shown.unit)
    wanted = (
        unit_called(unit or shown.shown_in) if unit or shown.shown_in else _usual(shown, reader)
    )
    if shown.span:
        wanted = _of_differences(wanted)
        value = Fraction(f"{shown.value:.9g}") * given.factor / wanted.factor
    else:
        si = Fraction(shown.value) * given.factor + given.offset
        value = from_si(float(si), wanted).value
    return number(_text(value, wanted, digits), reader)


def amounts(shown: Mapping[str, Amount], reader: Reader) -> dict[str, str]:
    """Amounts of one sentence; two that differ never look alike."""
    texts: dict[str, str] = {}
    for digits in range(FEWEST_DIGITS, MOST_DIGITS + 1):
        texts = {key: amount(each, reader, digits) for key, each in shown.items()}
        if len(set(texts.values())) == len(set(shown.values())):
            break
    return texts


def unit_for(quantity: str, size: float, typed: Mapping[str, str], reader: Reader) -> Unit:
    """The unit typed for a quantity, else the usual one of the system that was typed or read."""
    if quantity in typed:
        return unit_called(typed[quantity])
    us = any(map(is_us_customary, typed.values())) if typed else reader.units == "us"
    return usual_unit(quantity, size, us=us)


def _usual(shown: Amount, reader: Reader) -> Unit:
    given = unit_called(shown.unit)
    if given.quantity == "ratio":
        return given
    return usual_unit(
        given.quantity, abs(shown.value * float(given.factor)), us=reader.units == "us"
    )


def _of_differences(unit: Unit) -> Unit:
    """Degrees of difference: kelvins, so that nobody reads them as a temperature."""
    return unit_called("K") if unit.symbol == "°C" else unit


def _text(value: Fraction, unit: Unit, digits: int) -> str:
    if unit.symbol == "in" and (value * 64).denominator == 1:
        return show(value, unit)
    text = decimal_text(value, 6)
    if Fraction(text) != value or digits < FEWEST_DIGITS:
        text = decimal_text(to_digits(value, digits))
    return with_unit(text, unit)
