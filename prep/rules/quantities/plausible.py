"""Bounds beyond which a value of a machine's preparation is a slip of the pen or of the unit.

Wide on purpose: they catch a torque in the unit of a pressure or three zeros too many, and nothing
that stands on any farm machine. Common practice, no published source.
"""

from fractions import Fraction
from typing import Final

from prep.rules.quantities.quantity import Measured, canonical

# Least and most, in the unit of the record; a quantity that is not here has no bounds.
PLAUSIBLE: Final[dict[str, tuple[str, str]]] = {
    "length": ("-100000", "100000"),  # mm
    "area": ("0", "10000"),  # m²
    "volume": ("0", "50000"),  # L
    "mass": ("0", "100000"),  # kg
    "force": ("0", "2000000"),  # N
    "torque": ("0", "20000"),  # N·m
    "pressure": ("-101.325", "100000"),  # kPa; nothing is below vacuum
    "angle": ("-360", "360"),  # °
    "slope": ("-1000", "1000"),  # mm/m
    "rotation": ("0", "20000"),  # rpm
    "speed": ("0", "150"),  # m/s; the tips of blades
    "temperature": ("-60", "1000"),  # °C
    "time": ("0", "31557600"),  # s; a year
    "power": ("0", "1500"),  # kW
    "flow": ("0", "2000"),  # L/min
    "voltage": ("0", "1000"),  # V
    "current": ("0", "2000"),  # A
    "ratio": ("0", "100"),
    "count": ("0", "10000"),
}


def plausible(value: Measured) -> bool:
    """Whether a value lies within the bounds of its quantity, ends included."""
    bounds = PLAUSIBLE.get(value.unit.quantity)
    if bounds is None:
        return True
    least, most = (Fraction(end) for end in bounds)
    return least <= value.canonical() <= most


def bounds_text(quantity: str) -> tuple[str, str]:
    """Both bounds of a quantity with their unit, to be named in a sentence."""
    symbol = canonical(quantity).symbol
    least, most = PLAUSIBLE[quantity]
    return f"{least} {symbol}", f"{most} {symbol}"
