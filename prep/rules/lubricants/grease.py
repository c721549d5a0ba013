"""Grease: strokes of a calibrated gun for each point, and NLGI number from penetration."""

import math
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, Unit, rule

StrokeMass = Annotated[float, In("kg", 1e-4, 0.05)]
Doses = Annotated[tuple[float, ...], In("kg", 0.0, 1.0)]

TENTH_OF_MILLIMETER: Final = 1e-4  # m, the unit in which penetration is printed

# NLGI number and its worked penetration at 25 degC, tenths of a millimeter (ASTM D217). The 15
# between neighbors belong to no number.
NLGI: Final = (
    ("000", 445, 475),
    ("00", 400, 430),
    ("0", 355, 385),
    ("1", 310, 340),
    ("2", 265, 295),
    ("3", 220, 250),
    ("4", 175, 205),
    ("5", 130, 160),
    ("6", 85, 115),
)


@dataclass(frozen=True)
class Strokes:
    """Strokes of the gun for each point, computed and rounded up to whole ones."""

    exact: Annotated[tuple[float, ...], Unit("1")]
    whole: Annotated[tuple[int, ...], Unit("1")]


@dataclass(frozen=True)
class Consistency:
    """NLGI number of a grease."""

    number: str


@rule("grease.stroke_mass")
def stroke_mass(
    mass: Annotated[float, In("kg", 0.0001, 2.0)],
    strokes: Annotated[float, In("1", 1.0, 500.0)],
) -> Annotated[float, Unit("kg")]:
    """Grease delivered per gun stroke, by weighing.

    Inputs:
        mass: kg, 0.0001 to 2. Weight of what came out.
        strokes: 1, 1 to 500. Full strokes it took.
    Result: kg.
    Formula: m = mass / strokes.
    Source: lubrication article (a lever gun at 1.28 g a stroke).
    Example: ten strokes weigh 12.8 g -> 1.28 g.

        >>> round(stroke_mass(0.0128, 10) * 1000, 6)
        1.28
    """
    return mass / strokes


@rule("grease.stroke_mass_from_volume")
def stroke_mass_from_volume(
    volume: Annotated[float, In("m^3", 1e-7, 5e-5)],
    density: Annotated[float, In("kg/m^3", 700.0, 1500.0)],
) -> Annotated[float, Unit("kg")]:
    """Grease delivered per gun stroke, from the printed volume.

    Inputs:
        volume: m^3, 1e-07 to 5e-05. Printed output of one stroke.
        density: kg/m^3, 700 to 1500. Of the grease; about 900, so 1 mL is not 1 g.
    Result: kg.
    Formula: m = V rho.
    Source: lubrication article (2.7 mL a stroke); the mass is computed.
    Example: 2.7 mL at 900 kg/m^3 -> 2.43 g.

        >>> round(stroke_mass_from_volume(2.7e-6, 900) * 1000, 6)
        2.43
    """
    return volume * density


@rule("grease.strokes")
def strokes(doses: Doses, stroke_mass: StrokeMass) -> Strokes:
    """Grease gun strokes for each grease point.

    Inputs:
        doses: kg, 0 to 1. Grease each point needs, from the model.
        stroke_mass: kg, 0.0001 to 0.05. What this gun gives in one stroke, calibrated.
    Result: 1, exact and rounded up to whole strokes for each point.
    Formula: n = dose / mass of a stroke.
    Source: lubrication article (4.4 g needed, 2.7 mL a stroke); the strokes are computed.
    Example: 4.4 g with 2.43 g a stroke -> 2 strokes.

        >>> strokes((0.0044,), 0.00243).whole
        (2,)
    """
    exact = tuple(round(dose / stroke_mass, 9) for dose in doses)
    return Strokes(exact, tuple(math.ceil(number) for number in exact))


@rule("grease.consistency")
def consistency(
    penetration: Annotated[float, In("m", 0.001, 0.06)],
) -> Consistency:
    """NLGI number of a grease from its penetration.

    Inputs:
        penetration: m, 0.001 to 0.06. Worked, 60 strokes, at 25 degC; 265 is 26.5 mm.
    Result: the number, or unclassified in the gaps between numbers.
    Formula: table of ranges, both ends belonging.
    Source: NLGI ranges of ASTM D217 penetration.
    Example: 265 to 295 -> NLGI 2.

        >>> consistency(0.0265).number, consistency(0.0295).number
        ('2', '2')
    """
    value = round(penetration / TENTH_OF_MILLIMETER, 6)
    for number, least, most in NLGI:
        if least <= value <= most:
            return Consistency(number)
    return Consistency("unclassified")
