"""Level and pitch of a deck, and the rod turns that correct them.

Measured on a hard level floor after the tire pressures, drive off, key out, blades stopped. The
windows and linkage ratios are the model's own; the deck is blocked before anyone reaches under.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.phrase import Token

Height = Annotated[float, In("m", 0.0, 3.0)]
Lead = Annotated[float, In("m", 0.0005, 0.01)]
Threads = Annotated[str, OneOf(("opposite", "one"))]
Ratio = Annotated[float, In("1", 0.02, 20.0)]
Effect = Annotated[str, OneOf(("raises", "lowers"))]
Hand = Annotated[str, OneOf(("right", "left"))]
Rods = Annotated[int, OneOf((1, 2))]

LevelFinding = Literal[
    "conforms",
    "front-too-low",
    "front-not-low-enough",
    "rear-lower-than-front",
    "wing-high",
    "wing-low",
]

NANOMETER: Final = 9  # decimals of a meter: below any instrument, above the noise of the arithmetic


@dataclass(frozen=True)
class Slope:
    """A slope as an angle and as rise over run."""

    angle: Annotated[float, Unit("rad")]
    rise_over_run: Annotated[float, Unit("m/m")]


@dataclass(frozen=True)
class RodTurns:
    """How far to turn a leveling rod, which way, and what that does to its length."""

    turns: Annotated[float, Unit("1")]
    length_change: Annotated[float, Unit("m")]
    becomes: Literal["longer", "shorter", "unchanged"]
    direction: Literal["clockwise", "counter-clockwise", "not-turned"]
    advice: Advice | None


@dataclass(frozen=True)
class HeightFinding:
    """A difference of two heights against its window, with the turns that bring it to the middle.

    `difference` is rear less front for pitch, and wing less center for a wing.
    """

    finding: LevelFinding
    difference: Annotated[float, Unit("m")]
    rod: RodTurns | None


@rule("leveling.slope_from_bubble")
def slope_from_bubble(
    divisions: Annotated[float, In("1", -20.0, 20.0)],
    sensitivity: Annotated[float, In("rad", 1e-6, 0.05)],
) -> Slope:
    """Slope from a bubble vial.

    Inputs:
        divisions: 1, -20 to 20. Marks the bubble stands off the middle, toward the high end.
        sensitivity: rad, 1e-06 to 0.05. Tilt that moves the bubble by one mark, from the vial.
    Result: rad, and m/m as rise over run.
    Formula: angle = n s, the vial being an arc of a circle; rise over run = tan(angle).
    Source: geometry of a circle; 1 mm/m = 0.05730 deg, computed.
    Example: ten marks of 0.05730 deg -> 10 mm/m.

        >>> round(slope_from_bubble(10, math.radians(0.0573)).rise_over_run * 1000, 1)
        10.0
    """
    angle = divisions * sensitivity
    return Slope(angle, math.tan(angle))


@rule("leveling.slope_from_angle")
def slope_from_angle(angle: Annotated[float, In("rad", -1.0, 1.0)]) -> Slope:
    """Slope from an angle gauge.

    Inputs:
        angle: rad, -1 to 1. Reading of the gauge.
    Result: rad, and m/m as rise over run.
    Formula: rise over run = tan(angle).
    Source: published slope conversions (43 % = 23.27 deg).
    Example: 23.27 deg -> 43 %.

        >>> round(slope_from_angle(math.radians(23.27)).rise_over_run * 100)
        43
    """
    return Slope(angle, math.tan(angle))


@rule("leveling.slope_from_heights")
def slope_from_heights(
    low_side: Height,
    high_side: Height,
    base: Annotated[float, In("m", 0.05, 20.0)],
) -> Slope:
    """Slope from two heights over a base.

    Inputs:
        low_side: m, 0 to 3. Height at one end; when it is the higher one the slope is negative.
        high_side: m, 0 to 3. Height at the other end.
        base: m, 0.05 to 20. Distance along the floor between the two.
    Result: rad, and m/m as rise over run.
    Formula: angle = atan((h2 - h1) / base).
    Source: published slope conversions (10 mm per meter = 0.573 deg).
    Example: 10 mm over 1 m -> 0.573 deg.

        >>> round(math.degrees(slope_from_heights(0.100, 0.110, 1.0).angle), 3)
        0.573
    """
    run = (high_side - low_side) / base
    return Slope(math.atan(run), run)


@rule("leveling.rod_travel")
def rod_travel(
    turns: Annotated[float, In("1", -200.0, 200.0)],
    lead: Lead,
    threads: Threads,
) -> Annotated[float, Unit("m")]:
    """Change in length of a leveling rod.

    Inputs:
        turns: 1, -200 to 200. Turns of the body.
        lead: m, 0.0005 to 0.01. Advance of one thread in one turn: 1 in over threads per inch.
        threads: one of opposite, one. Opposite: right-hand at one end and left-hand at the other.
    Result: m.
    Formula: dL = 2 lead n with opposite threads, lead n with one.
    Source: screw geometry: both ends move in a turnbuckle; 2 / tpi in per turn.
    Example: 8 threads per inch, opposite, 3 turns -> 0.75 in.

        >>> round(rod_travel(3, 0.0254 / 8, "opposite") / 0.0254, 6)
        0.75
    """
    return turns * lead * (2 if threads == "opposite" else 1)


@rule("leveling.rod_turns")
def rod_turns(
    rise: Annotated[float, In("m", -1.0, 1.0)],
    lead: Lead,
    threads: Threads,
    ratio: Ratio,
    longer: Effect,
    near_thread: Hand,
    rods: Rods,
) -> RodTurns:
    """Turns of a leveling rod for a change of height.

    Inputs:
        rise: m, -1 to 1. How far the measured end must come up; negative to bring it down.
        lead: m, 0.0005 to 0.01. Advance of one thread in one turn.
        threads: one of opposite, one. Opposite: right-hand at one end and left-hand at the other.
        ratio: 1, 0.02 to 20. Change of the height for one unit of rod length, from the model.
        longer: one of raises, lowers. What a longer rod does to the measured end.
        near_thread: one of right, left. Hand of the thread at the end you look from.
        rods: one of 1, 2. Rods that are turned alike.
    Result: 1 turn counts, m the length gained, and which way seen from the near end.
    Formula: n = |rise| / (ratio dL per turn); clockwise seen from a right-hand end lengthens.
    Source: screw geometry: both ends move in a turnbuckle; the linkage ratio is the model's.
    Example: 0.75 in up, ratio 1, 8 threads per inch, opposite -> 3 turns longer.

        >>> t = rod_turns(0.01905, 0.0254 / 8, "opposite", 1, "raises", "right", 2)
        >>> round(t.turns, 6), t.becomes, t.direction
        (3.0, 'longer', 'clockwise')
    """
    turns = abs(rise) / (ratio * rod_travel(1, lead, threads))
    if not turns:
        return RodTurns(0.0, 0.0, "unchanged", "not-turned", None)
    grows = (rise > 0) == (longer == "raises")
    length_change = math.copysign(rod_travel(turns, lead, threads), 1 if grows else -1)
    clockwise = grows == (near_thread == "right")
    advice = Advice(
        ("lengthen-rods" if grows else "shorten-rods")
        if rods == 2
        else ("lengthen-rod" if grows else "shorten-rod"),
        turns,
        "1",
        direction=Token("clockwise" if clockwise else "counter-clockwise"),
        hand=Token("right-hand-thread" if near_thread == "right" else "left-hand-thread"),
    )
    return RodTurns(
        turns,
        length_change,
        "longer" if grows else "shorter",
        "clockwise" if clockwise else "counter-clockwise",
        advice,
    )


@rule("leveling.pitch")
def pitch(
    front: Height,
    rear: Height,
    least_lower: Annotated[float, In("m", -0.1, 0.3)],
    most_lower: Annotated[float, In("m", -0.1, 0.3)],
    lead: Lead,
    threads: Threads,
    ratio: Ratio,
    longer: Effect,
    near_thread: Hand,
    rods: Rods,
) -> HeightFinding:
    """Pitch of a deck: how much lower the front blade tip runs.

    Inputs:
        front: m, 0 to 3. Floor to cutting edge at the front tip.
        rear: m, 0 to 3. Floor to cutting edge at the rear tip.
        least_lower: m, -0.1 to 0.3. Least the model wants the front lower.
        most_lower: m, -0.1 to 0.3. Most the model wants the front lower.
        lead: m, 0.0005 to 0.01. Advance of one thread in one turn.
        threads: one of opposite, one. Opposite: right-hand at one end and left-hand at the other.
        ratio: 1, 0.02 to 20. Change of front less rear for one unit of rod length.
        longer: one of raises, lowers. What a longer rod does to the front against the rear.
        near_thread: one of right, left. Hand of the thread at the end you look from.
        rods: one of 1, 2. Rods that are turned alike.
    Result: the finding, m rear less front, and 1 the turns to the middle of the window.
    Formula: difference = rear - front; the front comes down by middle - difference.
    Source: manufacturers' manuals: a three-point brush cutter about 1 in lower in front; never the
        rear.
    Example: 3 in front, 4 in rear, wanted 3/4 to 1 1/4 in lower -> conforms.

        >>> i = 0.0254
        >>> linkage = (i / 8, "opposite", 1, "raises", "right", 1)
        >>> pitch(3 * i, 4 * i, 0.75 * i, 1.25 * i, *linkage).finding
        'conforms'
    """
    if most_lower < least_lower:
        raise RuleRefusal("most_lower", "window-swapped")
    difference = round(rear - front, NANOMETER)
    least, most = round(least_lower, NANOMETER), round(most_lower, NANOMETER)
    if least <= difference <= most:
        return HeightFinding("conforms", difference, None)
    finding: LevelFinding = "rear-lower-than-front" if difference < 0 else "front-not-low-enough"
    if difference > most:
        finding = "front-too-low"
    rise = difference - (least + most) / 2
    return HeightFinding(
        finding, difference, rod_turns(rise, lead, threads, ratio, longer, near_thread, rods)
    )


@rule("leveling.wing")
def wing(
    center: Height,
    wing: Height,
    tolerance: Annotated[float, In("m", 0.0, 0.1)],
    lead: Lead,
    threads: Threads,
    ratio: Ratio,
    longer: Effect,
    near_thread: Hand,
) -> HeightFinding:
    """Height of a wing's blade tip compared with the center's.

    Inputs:
        center: m, 0 to 3. Floor to cutting edge under the center.
        wing: m, 0 to 3. Floor to cutting edge at the wing's outer tip.
        tolerance: m, 0 to 0.1. Difference the model allows either way.
        lead: m, 0.0005 to 0.01. Advance of one thread in one turn.
        threads: one of opposite, one. Opposite: right-hand at one end and left-hand at the other.
        ratio: 1, 0.02 to 20. Change of the wing's height for one unit of rod length.
        longer: one of raises, lowers. What a longer rod does to the wing.
        near_thread: one of right, left. Hand of the thread at the end you look from.
    Result: the finding, m wing less center, and 1 the turns that bring it level.
    Formula: difference = wing - center, compared with the tolerance both ways.
    Source: manufacturers' manuals (1/4 in side to side in three of them); the model's own figure
        rules.
    Example: wing 1/4 in high, 1/4 in allowed -> conforms.

        >>> wing(0.0762, 0.0762 + 0.00635, 0.00635, 0.003175, "one", 1, "raises", "right").finding
        'conforms'
    """
    difference = round(wing - center, NANOMETER)
    if abs(difference) <= round(tolerance, NANOMETER):
        return HeightFinding("conforms", difference, None)
    return HeightFinding(
        "wing-high" if difference > 0 else "wing-low",
        difference,
        rod_turns(-difference, lead, threads, ratio, longer, near_thread, 1),
    )
