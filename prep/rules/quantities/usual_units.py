"""The units people read a quantity in, beside the unit of the record.

Common practice, no published source.
"""

import math
from typing import Final

from prep.rules.quantities.quantity import Unit, canonical, unit

BEYOND: Final = math.inf

# For each quantity its units for values up to a size in SI, then those for all beyond: metric
# first, then US customary, then what else is common. A single unit serves both.
_Rows = tuple[tuple[float, tuple[str, ...]], ...]
_USUAL: Final[dict[str, _Rows]] = {
    "length": ((100.0, ("mm", "in")), (BEYOND, ("km", "mi"))),
    "area": ((BEYOND, ("mm²", "in²")),),
    "volume": (
        (1e-4, ("mL", "US fl oz")),
        (4e-3, ("L", "US qt")),
        (BEYOND, ("L", "US gal")),
    ),
    "mass": ((0.1, ("g", "oz")), (BEYOND, ("kg", "lb"))),
    "force": ((BEYOND, ("kN", "lbf")),),
    "torque": ((BEYOND, ("N·m", "ft·lbf")),),
    "pressure": ((1e8, ("bar", "psi")), (BEYOND, ("MPa", "psi"))),
    "angle": ((BEYOND, ("°",)),),
    "slope": ((BEYOND, ("mm/m", "in/ft")),),
    "rotation": ((BEYOND, ("rpm",)),),
    "speed": (
        (0.005, ("mm/min", "in/min")),
        (1.0, ("mm/s", "in/s")),
        (BEYOND, ("km/h", "mph", "ft/min")),
    ),
    "temperature": ((BEYOND, ("°C", "°F")),),
    "time": ((BEYOND, ("h",)),),
    "power": ((BEYOND, ("kW", "hp")),),
    "energy": ((BEYOND, ("kJ", "BTU")),),
    "flow": ((BEYOND, ("L/min", "US gal/min")),),
    "density": ((BEYOND, ("kg/L", "lb/US gal")),),
    "thermal expansion": ((BEYOND, ("1/K", "1/°F")),),
    "particles": ((BEYOND, ("1/mL",)),),
}
# The units a person may have meant by a bare number or may choose beside a box, shop units first.
OFFERED: Final[dict[str, tuple[str, ...]]] = {
    "length": ("in", "mm", "cm", "ft", "m", "thou"),
    "area": ("ft²", "m²", "in²", "cm²", "acre", "ha"),
    "volume": ("L", "US gal", "US qt", "US pt", "US fl oz", "mL", "imp gal", "imp qt", "cm³"),
    "mass": ("lb", "kg", "oz", "g", "t"),
    "force": ("lbf", "N", "kN", "daN", "kgf"),
    "torque": ("ft·lbf", "N·m", "in·lbf", "daN·m", "kgf·m"),
    "pressure": ("psi", "bar", "kPa", "MPa", "kgf/cm²"),
    "angle": ("°", "turn"),
    "slope": ("mm/m", "in/ft", "% grade"),
    "rotation": ("rpm", "1/s"),
    "angular speed": ("rad/s", "°/s"),
    "angular acceleration": ("rad/s²",),
    "speed": ("mph", "km/h", "m/s", "ft/s", "ft/min"),
    "temperature": ("°C", "°F"),
    "time": ("h", "min", "s"),
    "power": ("hp", "kW", "metric hp"),
    "energy": ("J", "kJ", "BTU"),
    "flow": ("US gal/min", "L/min", "imp gal/min", "L/s", "mL/min"),
    "viscosity": ("cSt", "mm²/s"),
    "dynamic viscosity": ("mPa·s", "cP"),
    "density": ("kg/L", "kg/m³", "lb/US gal", "lb/ft³"),
    "particles": ("1/mL",),
    "thermal expansion": ("1/K", "1/°F"),
    "voltage": ("V", "mV"),
    "current": ("A", "mA"),
    "ratio": ("%", "1"),
    "count": ("count",),
}
_US: Final = frozenset(
    {
        *("in", "ft", "yd", "mi", "thou", "in²", "ft²", "acre", "in³", "lb", "oz", "US ton"),
        *("US gal", "US qt", "US pt", "US fl oz", "US gal/min", "lbf", "kip", "ft·lbf", "in·lbf"),
        *("psi", "ksi", "in/ft", "mph", "ft/s", "ft/min", "in/s", "in/min", "°F", "hp"),
        *("inHg", "inH₂O", "BTU", "lb/ft³", "lb/US gal", "1/°F"),
    }
)


def usual_units(quantity: str, size: float) -> tuple[Unit, ...]:
    """Units for a value of this size in SI: metric, then US customary, then others."""
    rows = _USUAL.get(quantity)
    if rows is None:
        return (canonical(quantity),)
    return tuple(unit(symbol) for symbol in next(units for most, units in rows if size <= most))


def usual_unit(quantity: str, size: float, *, us: bool) -> Unit:
    """The one unit of a system for a value of this size in SI."""
    metric, *others = usual_units(quantity, size)
    return others[0] if us and others else metric


def is_us_customary(symbol: str) -> bool:
    """Whether a unit belongs to the US customary system."""
    return symbol in _US
