"""Bounds of what is measured on a machine: what cannot be, and what is a slip of pen or unit.

Nature's bounds hold for every value that is read. The plausible ones are wide on purpose: they
catch a torque in the unit of a pressure or three zeros too many, and nothing that stands on any
farm machine. Common practice, no published source, unless a row names one.
"""

from enum import Enum, auto
from fractions import Fraction
from typing import Final

from prep.rules.quantities.quantity import QUANTITIES, Measured, canonical

# Least and most, in the unit of the record. A test asks for every quantity.
PLAUSIBLE: Final[dict[str, tuple[str, str]]] = {
    "length": ("-100000", "100000"),  # mm
    "area": ("0", "10000"),  # m²
    "volume": ("0", "50000"),  # L
    "mass": ("0", "100000"),  # kg
    "force": ("0", "2000000"),  # N
    "torque": ("0", "20000"),  # N·m
    "pressure": ("-108.5", "100000"),  # kPa
    "angle": ("-3600", "3600"),  # °; ten turns of an adjuster
    "slope": ("-1000", "1000"),  # mm/m
    "rotation": ("0", "20000"),  # rpm
    "angular speed": ("0", "2100"),  # rad/s; 20000 rpm
    "angular acceleration": ("0", "1000000"),  # rad/s²
    "speed": ("0", "150"),  # m/s; the tips of blades
    "temperature": ("-60", "1000"),  # °C
    "time": ("0", "31557600"),  # s; a year
    "power": ("0", "1500"),  # kW
    "energy": ("0", "100000000"),  # J
    "flow": ("0", "2000"),  # L/min
    "viscosity": ("0", "100000"),  # mm²/s
    "dynamic viscosity": ("0", "100000"),  # mPa·s
    "density": ("0", "25000"),  # kg/m³; no metal is heavier
    "particles": ("0", "2500000"),  # 1/mL; the highest code of ISO 4406
    "thermal expansion": ("0", "0.001"),  # 1/K
    "voltage": ("0", "1000"),  # V
    "current": ("0", "2000"),  # A
    "ratio": ("0", "100"),
    "count": ("0", "10000"),
}

ABSOLUTE_ZERO: Final = Fraction("-273.15")  # °C
# Nothing is below vacuum: the gauge pressure of one, in kPa, where the barometer stood highest
# (1,085 hPa at sea level, value from memory).
VACUUM: Final = Fraction("-108.5")


def plausible(value: Measured) -> bool:
    """Whether a value lies within the bounds of its quantity, ends included."""
    least, most = (Fraction(end) for end in PLAUSIBLE[value.unit.quantity])
    return least <= value.canonical() <= most


class Impossible(Enum):
    """Why no instrument on earth shows a value."""

    BELOW_ABSOLUTE_ZERO = auto()
    BELOW_VACUUM = auto()
    NEGATIVE = auto()


def impossible(value: Measured) -> Impossible | None:
    """Why no instrument on earth shows this value; None where one may."""
    quantity = value.unit.quantity
    if quantity == "temperature" and value.canonical() < ABSOLUTE_ZERO:
        return Impossible.BELOW_ABSOLUTE_ZERO
    if quantity == "pressure" and value.canonical() < VACUUM:
        return Impossible.BELOW_VACUUM
    if value.value < 0 and not QUANTITIES[quantity].signed:
        return Impossible.NEGATIVE
    return None


def bounds_text(quantity: str) -> tuple[str, str]:
    """Both bounds of a quantity with their unit, to be named in a sentence."""
    symbol = canonical(quantity).symbol
    least, most = PLAUSIBLE[quantity]
    return f"{least} {symbol}", f"{most} {symbol}"
