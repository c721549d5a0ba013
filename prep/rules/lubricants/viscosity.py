"""Viscosity of oil: its change with temperature, its index, and its ISO grade."""

import math
from bisect import bisect_right
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

Viscosity = Annotated[float, In("m^2/s", 2e-6, 0.1)]
Temperature = Annotated[float, In("K", 200.0, 500.0)]

CENTISTOKES: Final = 1e-6  # m^2/s

# ISO 3448: grade = midpoint in cSt at 40 degC, limits 10 % either way, both belonging to it.
ISO_GRADES: Final = (10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000)

# ASTM D2270 by the oil's cSt at 100 degC, from each row's first value on: L = a Y^2 + b Y + c and
# H = d Y^2 + e Y + f. Value from memory below 70, verified against published examples and the
# continuity of the pieces; the last row is published.
INDEX_ROWS: Final = (
    (2.0, (1.14673, 1.7576, -0.109), (0.84155, 1.5521, -0.077)),
    (3.8, (3.38095, -15.4952, 33.196), (0.78571, 1.7929, -0.183)),
    (4.4, (2.5, -7.2143, 13.812), (0.82143, 1.5679, 0.119)),
    (5.0, (0.101, 16.635, -45.469), (0.04985, 9.1613, -18.557)),
    (6.4, (3.35714, -23.5643, 78.466), (0.22619, 7.7369, -16.656)),
    (7.0, (0.01191, 21.475, -72.87), (0.79762, -0.7321, 14.61)),
    (7.7, (0.41858, 16.1558, -56.04), (0.05794, 10.5156, -28.24)),
    (9.0, (0.88779, 7.5527, -16.6), (0.26665, 6.7015, -10.81)),
    (12.0, (0.7672, 10.7972, -38.18), (0.20073, 8.4658, -22.49)),
    (15.0, (0.97305, 5.3135, -2.2), (0.28889, 5.9741, -4.93)),
    (18.0, (0.97256, 5.25, -0.98), (0.24504, 7.416, -16.73)),
    (22.0, (0.91413, 7.4759, -21.82), (0.20323, 9.1267, -34.23)),
    (28.0, (0.87031, 9.7157, -50.77), (0.18411, 10.1015, -46.75)),
    (40.0, (0.84703, 12.6752, -133.31), (0.17029, 11.4866, -80.62)),
    (55.0, (0.85921, 11.1009, -83.19), (0.1713, 11.368, -76.94)),
    (70.0, (0.8353, 14.67, -216.0), (0.1684, 11.85, -97.0)),
)


@dataclass(frozen=True)
class ViscosityLine:
    """Straight line log10 log10(cSt + 0.7) = a - b log10(K) through two viscosities."""

    a: Annotated[float, Unit("1")]
    b: Annotated[float, Unit("1")]


@dataclass(frozen=True)
class IsoGrade:
    """ISO viscosity grade and its limits at 40 degC; between the grades there are none."""

    grade: str
    least: Annotated[float | None, Unit("m^2/s")]
    most: Annotated[float | None, Unit("m^2/s")]


def centistokes(viscosity: float) -> float:
    """Viscosity in cSt (mm^2/s) from m^2/s, rounded so that printed limits stay exact."""
    return round(viscosity / CENTISTOKES, 9)


@rule("viscosity.line")
def line(
    first: Viscosity,
    first_temperature: Temperature,
    second: Viscosity,
    second_temperature: Temperature,
) -> ViscosityLine:
    """Viscosity-temperature line of an oil from two viscosities.

    Inputs:
        first: m^2/s, 2e-06 to 0.1. Viscosity at the first temperature.
        first_temperature: K, 200 to 500. Usually 40 degC.
        second: m^2/s, 2e-06 to 0.1. Viscosity at the second temperature.
        second_temperature: K, 200 to 500. Usually 100 degC.
    Result: 1, the two constants for cSt and kelvin.
    Formula: log10 log10 (v + 0.7) = A - B log10 T, from 2 cSt up.
    Source: ASTM D341, public worksheet (T = degC + 273).
    Example: 32 cSt at 40 degC and 5.4 at 100 degC -> A 9.5259, B 3.7449.

        >>> oil = line(32e-6, 313, 5.4e-6, 373)
        >>> round(oil.a, 4), round(oil.b, 4)
        (9.5259, 3.7449)
    """
    (cold, thick), (hot, thin) = sorted(((first_temperature, first), (second_temperature, second)))
    if cold == hot:
        raise RuleRefusal("second_temperature", "same-temperature")
    if thin >= thick:
        raise RuleRefusal("second", "viscosities-swapped")
    b = (_double_log(thick) - _double_log(thin)) / (math.log10(hot) - math.log10(cold))
    return ViscosityLine(_double_log(thick) + b * math.log10(cold), b)


@rule("viscosity.at_temperature")
def at_temperature(
    first: Viscosity,
    first_temperature: Temperature,
    second: Viscosity,
    second_temperature: Temperature,
    temperature: Temperature,
) -> Annotated[float, Unit("m^2/s")]:
    """Viscosity of an oil at another temperature.

    Inputs:
        first: m^2/s, 2e-06 to 0.1. Viscosity at the first temperature.
        first_temperature: K, 200 to 500. Usually 40 degC.
        second: m^2/s, 2e-06 to 0.1. Viscosity at the second temperature.
        second_temperature: K, 200 to 500. Usually 100 degC.
        temperature: K, 200 to 500. Temperature wanted.
    Result: m^2/s.
    Formula: log10 log10 (v + 0.7) = A - B log10 T through the two viscosities, read at T.
    Source: ASTM D341, public worksheet.
    Example: 32 cSt at 40 degC and 5.4 at 100 degC -> 8.5 at 80 degC.

        >>> round(at_temperature(32e-6, 313.15, 5.4e-6, 373.15, 353.15) * 1e6, 1)
        8.5
    """
    oil = line(first, first_temperature, second, second_temperature)
    exponent = oil.a - oil.b * math.log10(temperature)
    # Beyond 10^(10^0.85), ten million cSt, oil no longer flows and the line means nothing.
    if exponent > 0.85:
        raise RuleRefusal("temperature", "oil-does-not-flow")
    viscosity: float = 10 ** (10**exponent) - 0.7
    if viscosity < 2.0:
        raise RuleRefusal("temperature", "oil-too-thin")
    return viscosity * CENTISTOKES


@rule("viscosity.index")
def index(
    at_40_celsius: Viscosity,
    at_100_celsius: Annotated[float, In("m^2/s", 2e-6, 5e-4)],
) -> Annotated[float, Unit("1")]:
    """Viscosity index of an oil.

    Inputs:
        at_40_celsius: m^2/s, 2e-06 to 0.1. Viscosity at 40 degC.
        at_100_celsius: m^2/s, 2e-06 to 0.0005. Viscosity at 100 degC.
    Result: 1; reports give it as a whole number.
    Formula: U >= H: 100 (L - U) / (L - H); else 100 + (10^N - 1) / 0.00715 with
        N = (log H - log U) / log Y.
    Source: ASTM D2270.
    Example: 73.30 and 8.86 cSt -> 92.

        >>> round(index(73.30e-6, 8.86e-6))
        92
    """
    u, y = centistokes(at_40_celsius), centistokes(at_100_celsius)
    if y >= u:
        raise RuleRefusal("at_100_celsius", "viscosities-swapped")
    row = INDEX_ROWS[bisect_right(INDEX_ROWS, y, key=lambda row: row[0]) - 1]
    low, high = (a * y * y + b * y + c for a, b, c in row[1:])
    if u >= high:
        return 100 * (low - u) / (low - high)
    n = (math.log10(high) - math.log10(u)) / math.log10(y)
    above_100: float = 100 + (10**n - 1) / 0.00715
    return above_100


@rule("viscosity.iso_grade")
def iso_grade(at_40_celsius: Annotated[float, In("m^2/s", 1e-6, 5e-3)]) -> IsoGrade:
    """ISO viscosity grade of an industrial oil.

    Inputs:
        at_40_celsius: m^2/s, 1e-06 to 0.005. Viscosity at 40 degC.
    Result: the grade and its limits in m^2/s; between two grades it is unclassified.
    Formula: 0.9 VG <= cSt at 40 degC <= 1.1 VG, VG 10 to 1000.
    Source: ISO 3448.
    Example: 105 cSt -> VG 100.

        >>> iso_grade(105e-6).grade
        'VG 100'
    """
    value = centistokes(at_40_celsius)
    for grade in ISO_GRADES:
        least, most = round(0.9 * grade, 9), round(1.1 * grade, 9)
        if least <= value <= most:
            return IsoGrade(f"VG {grade}", least * CENTISTOKES, most * CENTISTOKES)
    return IsoGrade("unclassified", None, None)


def _double_log(viscosity: float) -> float:
    return math.log10(math.log10(centistokes(viscosity) + 0.7))
