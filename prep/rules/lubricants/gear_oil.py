"""Gear oil: SAE grade, ambient temperature, level by plug or dipstick, volume to top off.

Levels are read on level ground with the oil cool and the machine blocked. The manufacturer's oil
comes first: a grade that suits the cold says nothing of its additives.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.lubricants.viscosity import centistokes

Edition = Annotated[str, OneOf(("2005", "2019"))]
WinterGrade = Annotated[str, OneOf(("70W", "75W", "80W", "85W"))]
Ambient = Annotated[float, In("K", 200.0, 330.0)]
OilArea = Annotated[float, In("m^2", 0.001, 2.0)]

OilLevel = Literal["low", "at-plug", "over-plug", "between-marks", "over-full-mark"]

ICE_POINT: Final = 273.15

# SAE J306: highest temperature in degC at which the oil may reach 150 Pa·s (ASTM D2983).
COLDEST: Final = {"70W": -55.0, "75W": -40.0, "80W": -26.0, "85W": -12.0}

# SAE J306: least cSt at 100 degC of the winter grades, by edition.
WINTER: Final = {
    "2005": {"70W": 4.1, "75W": 4.1, "80W": 7.0, "85W": 11.0},
    "2019": {"70W": 3.8, "75W": 3.8, "80W": 8.5, "85W": 11.0},
}

# SAE J306: least cSt at 100 degC of each grade, which ends where the next begins (half open).
SUMMER: Final = {
    "2005": ((7.0, "80"), (11.0, "85")),
    "2019": ((3.8, "65"), (5.0, "70"), (6.5, "75"), (8.5, "80"), (11.0, "85")),
}
SUMMER_BOTH: Final = ((13.5, "90"), (18.5, "110"), (24.0, "140"), (32.5, "190"), (41.0, "250"))


@dataclass(frozen=True)
class OilGrade:
    """SAE grade of a gear oil and the edition of J306 it was read from."""

    grade: str
    edition: str


@dataclass(frozen=True)
class AmbientFinding:
    """A winter grade against the coldest weather; the margin is negative when it is too thick."""

    finding: Literal["flows", "too-thick"]
    coldest_allowed: Annotated[float, Unit("K")]
    margin: Annotated[float, Unit("K", span=True)]
    edition: str
    advice: Advice | None


@dataclass(frozen=True)
class LevelFinding:
    """An oil level as read, and the oil to add (negative: to let out)."""

    finding: OilLevel
    top_off: Annotated[float, Unit("m^3")]
    advice: Advice | None


@dataclass(frozen=True)
class PrintedPair:
    """Two printed figures for one quantity, compared."""

    finding: Literal["figures-agree", "figures-disagree"]
    difference: Annotated[float, Unit("m^3")]


@rule("gear_oil.grade")
def grade(
    at_100_celsius: Annotated[float, In("m^2/s", 1e-6, 2e-4)],
    edition: Edition,
    thick_at: Annotated[float | None, In("K", 200.0, 330.0)] = None,
) -> OilGrade:
    """SAE grade of a gear oil.

    Inputs:
        at_100_celsius: m^2/s, 1e-06 to 0.0002. Viscosity at 100 degC.
        edition: one of 2005, 2019. Edition of SAE J306; the limits moved between them.
        thick_at: K, 200 to 330. Temperature at which the oil reaches 150 Pa·s, when it is known.
    Result: the grade, such as 80W-90, and the edition.
    Formula: least <= cSt at 100 degC < next grade's least; and for a winter grade its own least
        and thick_at no warmer than its temperature.
    Source: SAE J306, 2005 and 2019.
    Example: 14.5 cSt -> SAE 90.

        >>> grade(14.5e-6, "2019").grade
        '90'
    """
    value = centistokes(at_100_celsius)
    summer = ""
    for least, name in (*SUMMER[edition], *SUMMER_BOTH):
        if value >= least:
            summer = name
    winter = "" if thick_at is None else _winter_grade(value, edition, thick_at)
    return OilGrade("-".join(part for part in (winter, summer) if part) or "unclassified", edition)


def _winter_grade(value: float, edition: str, thick_at: float) -> str:
    celsius = round(thick_at - ICE_POINT, 6)
    for name, coldest in COLDEST.items():
        if celsius <= coldest and value >= WINTER[edition][name]:
            return name
    return ""


@rule("gear_oil.ambient")
def ambient(winter_grade: WinterGrade, coldest: Ambient, edition: Edition) -> AmbientFinding:
    """Gear oil winter grade compared with the coldest ambient temperature.

    Inputs:
        winter_grade: one of 70W, 75W, 80W, 85W. First part of the grade in the box.
        coldest: K, 200 to 330. Coldest air the machine will start work in.
        edition: one of 2005, 2019. Edition of SAE J306; this column is the same in both.
    Result: the finding, and K the coldest allowed and the margin to it.
    Formula: margin = coldest - temperature at which the grade may reach 150 Pa·s.
    Source: SAE J306; the manufacturer's oil chart comes first.
    Example: 80W at -26 degC -> flows, with nothing to spare.

        >>> oil = ambient("80W", 247.15, "2019")
        >>> oil.finding, oil.margin
        ('flows', 0.0)
    """
    allowed = COLDEST[winter_grade] + ICE_POINT
    margin = round(coldest - allowed, 6)
    if margin >= 0:
        return AmbientFinding("flows", allowed, margin, edition, None)
    suited = next((name for name, limit in reversed(COLDEST.items()) if _flows(limit, coldest)), "")
    if suited:
        advice = Advice("use-thinner-oil", coldest, "K", span=False, grade=suited)
    else:
        advice = Advice("no-grade-for-cold", coldest, "K", span=False)
    return AmbientFinding("too-thick", allowed, margin, edition, advice)


def _flows(limit: float, coldest: float) -> bool:
    return round(coldest - ICE_POINT, 6) >= limit


@rule("gear_oil.plug_level")
def plug_level(
    below_plug: Annotated[float, In("m", -0.1, 0.5)],
    tolerance: Annotated[float, In("m", 0.0, 0.05)],
    oil_area: OilArea,
) -> LevelFinding:
    """Gear oil level by the side plug.

    Inputs:
        below_plug: m, -0.1 to 0.5. Oil under the lower edge of the hole; negative if it runs out.
        tolerance: m, 0 to 0.05. How far under still counts as at the plug.
        oil_area: m^2, 0.001 to 2. Oil for each meter of level: the box seen from above.
    Result: the finding and m^3 to add.
    Formula: V = area x depth, the box taken as straight-sided.
    Source: manufacturers' manuals (level at the lower edge, oil cool); volume by geometry.
    Example: 20 mm low in a box of 0.05 m^2 -> 1 L.

        >>> round(plug_level(0.020, 0.002, 0.05).top_off * 1000, 6)
        1.0
    """
    depth = round(below_plug, 9)
    if 0 <= depth <= round(tolerance, 9):
        return LevelFinding("at-plug", 0.0, None)
    return _level("low" if depth > 0 else "over-plug", depth * oil_area)


@rule("gear_oil.stick_level")
def stick_level(
    reading: Annotated[float, In("m", 0.0, 1.0)],
    low_mark: Annotated[float, In("m", 0.0, 1.0)],
    full_mark: Annotated[float, In("m", 0.0, 1.0)],
    oil_area: OilArea,
    read_stick: Annotated[str, OneOf(("screwed in", "rested"))],
    model_stick: Annotated[str, OneOf(("screwed in", "rested"))],
) -> LevelFinding:
    """Gear oil level by the dipstick.

    Inputs:
        reading: m, 0 to 1. Wetted length from the tip of the stick.
        low_mark: m, 0 to 1. Tip to the lowest mark; 0 where the tip is the lowest.
        full_mark: m, 0 to 1. Tip to the highest mark.
        oil_area: m^2, 0.001 to 2. Oil for each meter of stick, from the model.
        read_stick: one of screwed in, rested. How it was read.
        model_stick: one of screwed in, rested. How the model's manual reads it.
    Result: the finding and m^3 to the full mark.
    Formula: between the marks is right; under them V = area x (full - reading).
    Source: manufacturers' manuals (both ways of reading exist); volume by geometry.
    Example: 10 mm under a 30 mm full mark, low mark 25, 0.05 m^2 -> 0.5 L.

        >>> level = stick_level(0.020, 0.025, 0.030, 0.05, "rested", "rested")
        >>> level.finding, round(level.top_off * 1000, 6)
        ('low', 0.5)
    """
    if read_stick != model_stick:
        if model_stick == "rested":
            raise RuleRefusal("read_stick", "read-stick-rested")
        raise RuleRefusal("read_stick", "read-stick-screwed-in")
    if full_mark <= low_mark:
        raise RuleRefusal("full_mark", "stick-marks-swapped")
    if low_mark <= reading <= full_mark:
        return LevelFinding("between-marks", 0.0, None)
    finding: OilLevel = "low" if reading < low_mark else "over-full-mark"
    return _level(finding, (full_mark - reading) * oil_area)


@rule("gear_oil.thermal_rise")
def thermal_rise(
    volume: Annotated[float, In("m^3", 0.0, 1.0)],
    expansion: Annotated[float, In("1/K", 1e-4, 2e-3)],
    rise: Annotated[float, In("K", -150.0, 150.0, span=True)],
) -> Annotated[float, Unit("m^3")]:
    """Thermal expansion of oil.

    Inputs:
        volume: m^3, 0 to 1. Oil when it was filled.
        expansion: 1/K, 0.0001 to 0.002. Of the oil; mineral oil about 0.0007, value from memory.
        rise: K, -150 to 150. How much warmer it is now: a difference of temperatures.
    Result: m^3.
    Formula: dV = V a dT.
    Source: hydraulic engineering data page (a = 0.00046 per degF).
    Example: 100 in^3 warmed 50 degF -> 2.3 in^3 more.

        >>> round(thermal_rise(100 * 0.0254**3, 0.00046 * 1.8, 50 / 1.8) / 0.0254**3, 6)
        2.3
    """
    return volume * expansion * rise


@rule("gear_oil.printed_pair")
def printed_pair(
    first: Annotated[float, In("m^3", 1e-6, 1.0)],
    second: Annotated[float, In("m^3", 1e-6, 1.0)],
    rounding: Annotated[float, In("1", 0.0, 0.2)],
) -> PrintedPair:
    """Agreement of a capacity printed in two units.

    Inputs:
        first: m^3, 1e-06 to 1. The figure in the first unit.
        second: m^3, 1e-06 to 1. The figure in the second unit.
        rounding: 1, 0 to 0.2. Share of the larger that rounding may explain.
    Result: the finding and m^3 of difference.
    Formula: |V1 - V2| compared with rounding x the larger.
    Source: a printed gearbox specification, 283 mL beside 15 US fl oz (443.6 mL).
    Example: 283 mL and 15 fl oz -> they disagree.

        >>> printed_pair(283e-6, 15 * 29.5735295625e-6, 0.05).finding
        'figures-disagree'
    """
    difference = abs(first - second)
    agree = difference <= rounding * max(first, second) or math.isclose(first, second)
    return PrintedPair("figures-agree" if agree else "figures-disagree", difference)


def _level(finding: OilLevel, top_off: float) -> LevelFinding:
    if top_off < 0:
        return LevelFinding(finding, top_off, Advice("let-oil-out", -top_off, "m^3"))
    return LevelFinding(finding, top_off, Advice("add-oil", top_off, "m^3"))
