"""Cardan (Hooke) joints: speed ratio, non-uniformity and joint angle limits.

Conventions. A joint angle is the true angle between the two shafts, 0 when straight. Rotation of
the driving yoke is counted from where the ratio is greatest; counted from the other yoke's
position the sine and cosine in the formulas change places. A ratio is driven over driving speed.
A wide-angle (constant velocity) joint passes speed on evenly: in a pair it counts as angle 0.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule

JointAngle = Annotated[float, In("rad", 0.0, 1.5)]
Rotation = Annotated[float, In("rad", -1000.0, 1000.0)]

DEGREE: Final = math.pi / 180

# Driveline manual quoted by a farmer's forum post; 25 and 80 degrees of the wide-angle joint are
# also in two other manuals. At short-time angles only reduced output is allowed.
ADVISORY_LIMITS: Final = {
    ("single", "preferred"): 15 * DEGREE,
    ("single", "continuous"): 25 * DEGREE,
    ("single", "short"): 45 * DEGREE,
    ("single", "stationary"): 90 * DEGREE,
    ("wide-angle", "continuous"): 25 * DEGREE,
    ("wide-angle", "short"): 80 * DEGREE,
    ("wide-angle", "stationary"): 80 * DEGREE,
}


@dataclass(frozen=True)
class RatioExtremes:
    """Least and greatest ratio within a turn, and the swing between them over the mean speed."""

    least: Annotated[float, Unit("1")]
    most: Annotated[float, Unit("1")]
    non_uniformity: Annotated[float, Unit("1")]


@dataclass(frozen=True)
class PairExtremes:
    """As RatioExtremes, with the angle at which one joint alone would turn as unevenly."""

    least: Annotated[float, Unit("1")]
    most: Annotated[float, Unit("1")]
    non_uniformity: Annotated[float, Unit("1")]
    equivalent_angle: Annotated[float, Unit("rad")]


@dataclass(frozen=True)
class CompoundAngle:
    """True angle of a joint bent both ways, exact and by the usual square-root rule."""

    angle: Annotated[float, Unit("rad")]
    approximate: Annotated[float, Unit("rad")]


@dataclass(frozen=True)
class OffsetJoint:
    """What a wide-angle joint that misses the hitch pivot does to the two ends in a turn."""

    wide_angle: Annotated[float, Unit("rad")]
    single_angle: Annotated[float, Unit("rad")]
    non_uniformity: Annotated[float, Unit("1")]


def pair_excess(first_cosine: float, second_cosine: float, misphase_sine_squared: float) -> float:
    """Half of (k + 1/k) less 1, where k is the greatest ratio of a pair of joints.

    Seen as a map of the driving yoke's direction to the driven one's, a joint stretches the plane
    along one axis. Two joints multiply to one matrix; k is the ratio of its singular values.
    Written as an excess over 1 so that a well-matched pair gives an exact zero.
    """
    product = first_cosine * second_cosine
    in_phase = (first_cosine - second_cosine) ** 2 * (1 - misphase_sine_squared)
    out_of_phase = (1 - product) ** 2 * misphase_sine_squared
    return (in_phase + out_of_phase) / (2 * product)


def excess_non_uniformity(excess: float) -> float:
    """Swing k - 1/k that belongs to an excess of `pair_excess`."""
    return 2 * math.sqrt(excess * (excess + 2))


@rule("joints.turned_angle")
def turned_angle(angle: JointAngle, rotation: Rotation) -> Annotated[float, Unit("rad")]:
    """Rotation of the driven yoke of a universal joint.

    Inputs:
        angle: rad, 0 to 1.5. Joint angle.
        rotation: rad, -1000 to 1000. Rotation of the driving yoke from its greatest ratio.
    Result: rad, within half a turn either way.
    Formula: tan(driven) = tan(driving) / cos(angle).
    Source: kinematics of Hooke's joint (textbook; two published exam solutions).
    Example: equal speeds where tan(driving) = sqrt(cos(angle)), there tan(driven) is its inverse.

        >>> bend, here = math.radians(20), math.atan(math.sqrt(math.cos(math.radians(20))))
        >>> round(math.tan(turned_angle(bend, here)) * math.tan(here), 12)
        1.0
    """
    return math.atan2(math.sin(rotation), math.cos(angle) * math.cos(rotation))


@rule("joints.speed_ratio")
def speed_ratio(angle: JointAngle, rotation: Rotation) -> Annotated[float, Unit("1")]:
    """Instantaneous speed ratio of a universal joint.

    Inputs:
        angle: rad, 0 to 1.5. Joint angle.
        rotation: rad, -1000 to 1000. Rotation of the driving yoke from its greatest ratio.
    Result: 1.
    Formula: cos(angle) / (1 - sin(angle)^2 cos(rotation)^2).
    Source: kinematics of Hooke's joint (textbook; three published statements).
    Example: 30 degrees, 500 rpm, a quarter turn on -> 433.0 rpm.

        >>> round(500 * speed_ratio(math.radians(30), math.pi / 2), 1)
        433.0
    """
    return math.cos(angle) / (1 - (math.sin(angle) * math.cos(rotation)) ** 2)


@rule("joints.ratio_extremes")
def ratio_extremes(angle: JointAngle) -> RatioExtremes:
    """Minimum and maximum speed ratio of a universal joint.

    Inputs:
        angle: rad, 0 to 1.5. Joint angle.
    Result: least and greatest ratio and their difference.
    Formula: cos(angle), 1 / cos(angle), tan(angle) sin(angle); two swings in a turn. Pages that
        divide the swing by the middle of the two speeds get a little less.
    Source: kinematics of Hooke's joint; published exam solution.
    Example: 20 degrees at 500 rpm -> 469.85 to 532.09 rpm.

        >>> extremes = ratio_extremes(math.radians(20))
        >>> round(500 * extremes.least, 2), round(500 * extremes.most, 2)
        (469.85, 532.09)
    """
    cosine = math.cos(angle)
    return RatioExtremes(cosine, 1 / cosine, math.tan(angle) * math.sin(angle))


@rule("joints.angle_for_non_uniformity")
def angle_for_non_uniformity(
    non_uniformity: Annotated[float, In("1", 0.0, 10.0)],
) -> Annotated[float, Unit("rad")]:
    """Joint angle for a stated non-uniformity.

    Inputs:
        non_uniformity: 1, 0 to 10. Fastest less slowest speed, over the mean speed.
    Result: rad.
    Formula: cos(angle) = (sqrt(U^2 + 4) - U) / 2.
    Source: inverse of U = 1 / cos - cos; design limit of an industrial joint manufacturer's pages.
    Example: U = 0.0027, the limit where a pair does not cancel -> 2.977 degrees.

        >>> round(math.degrees(angle_for_non_uniformity(0.0027)), 3)
        2.977
    """
    return math.acos((math.hypot(non_uniformity, 2) - non_uniformity) / 2)


@rule("joints.lead")
def lead(angle: JointAngle) -> Annotated[float, Unit("rad")]:
    """Maximum lead or lag angle of a universal joint.

    Inputs:
        angle: rad, 0 to 1.5. Joint angle.
    Result: rad.
    Formula: tan(lead) = (1 - cos(angle)) / (2 sqrt(cos(angle))).
    Source: value from memory, confirmed by numerical integration.
    Example: 20 degrees -> 1.782 degrees (computed).

        >>> round(math.degrees(lead(math.radians(20))), 3)
        1.782
    """
    cosine = math.cos(angle)
    return math.atan((1 - cosine) / (2 * math.sqrt(cosine)))


@rule("joints.peak_acceleration")
def peak_acceleration(
    angle: JointAngle, speed: Annotated[float, In("1/s", 0.0, 200.0)]
) -> Annotated[float, Unit("rad/s^2")]:
    """Peak angular acceleration behind a universal joint.

    Inputs:
        angle: rad, 0 to 1.5. Joint angle.
        speed: 1/s, 0 to 200. Steady speed of the driving shaft.
    Result: rad/s^2.
    Formula: the ratio's slope w^2 cos(a) s sin(2t) / (1 - s cos(t)^2)^2 with s = sin(a)^2, at the
        rotation t where it peaks: s C^2 + (2 - s) C = 2 s, C = cos(2t).
        Small angles: about w^2 s / cos(a).
    Source: slope of the ratio of Hooke's joint; a joint manufacturer's chart keeps it near 1000
        rad/s^2 (its heading says 100, a misprint).
    Example: 1500 rpm at 11 degrees 30 minutes -> about 1001 rad/s^2.

        >>> abs(peak_acceleration(math.radians(11.5), 25) / 1001 - 1) < 0.01
        True
    """
    s = math.sin(angle) ** 2
    if s == 0:
        return 0.0
    double_cosine = (math.hypot(2 - s, math.sqrt(8) * s) - (2 - s)) / (2 * s)
    double_sine = math.sqrt(1 - double_cosine**2)
    slope = math.cos(angle) * s * double_sine / (1 - s * (1 + double_cosine) / 2) ** 2
    return (2 * math.pi * speed) ** 2 * slope


@rule("joints.compound_angle")
def compound_angle(side_angle: JointAngle, plan_angle: JointAngle) -> CompoundAngle:
    """True (compound) joint angle from the angles in side view and in plan.

    Inputs:
        side_angle: rad, 0 to 1.5. Bend seen from the side.
        plan_angle: rad, 0 to 1.5. Bend seen from above.
    Result: exact angle, and the square-root rule's, in rad.
    Formula: tan^2 = tan^2(side) + tan^2(plan); rule: sqrt(side^2 + plan^2), too large when steep.
    Source: NAVEDTRA 14050A (rule); exact form by geometry.
    Example: 8 and 6 degrees -> 10.000 by the rule.

        >>> round(math.degrees(compound_angle(math.radians(8), math.radians(6)).approximate), 3)
        10.0
    """
    exact = math.atan(math.hypot(math.tan(side_angle), math.tan(plan_angle)))
    return CompoundAngle(exact, math.hypot(side_angle, plan_angle))


@rule("joints.pair")
def pair(
    first_angle: JointAngle,
    second_angle: JointAngle,
    misphase: Annotated[float, In("rad", -math.pi, math.pi)] = 0.0,
) -> PairExtremes:
    """Non-uniformity of two universal joints in series.

    Inputs:
        first_angle: rad, 0 to 1.5. Angle of the joint nearer the tractor; 0 for a wide-angle one.
        second_angle: rad, 0 to 1.5. Angle of the joint nearer the machine.
        misphase: rad, -3.14159 to 3.14159. Twist between the inner yokes, counted from where each
            lies in the plane of its own joint's bend; 0 is in phase.
    Result: least and greatest ratio, their difference, equivalent single-joint angle in rad.
    Formula: in phase cos(b2) / cos(b1) and its inverse; a quarter turn out cos(b1) cos(b2) and
        its inverse; between, the singular values of the product of both joints' maps.
    Source: kinematics of Hooke's joint; published exam solution for the quarter turn.
    Example: 20 and 20 degrees in phase even out; a quarter turn out, 1 / cos^2 = 1.1325.

        >>> pair(math.radians(20), math.radians(20)).non_uniformity
        0.0
        >>> round(pair(math.radians(20), math.radians(20), math.pi / 2).most, 4)
        1.1325
    """
    excess = pair_excess(math.cos(first_angle), math.cos(second_angle), math.sin(misphase) ** 2)
    swing = excess_non_uniformity(excess)
    most = 1 + excess + swing / 2
    return PairExtremes(1 / most, most, swing, angle_for_non_uniformity(swing))


@rule("joints.advisory_limit")
def advisory_limit(
    joint: Annotated[str, OneOf(("single", "wide-angle"))],
    duty: Annotated[str, OneOf(("preferred", "continuous", "short", "stationary"))],
) -> Annotated[float, Unit("rad")]:
    """General joint angle limit, where the manufacturer's is not known.

    Inputs:
        joint: one of single, wide-angle. Kind of joint.
        duty: one of preferred, continuous, short, stationary. Short means moments at reduced
            output; stationary means not turning.
    Result: rad.
    Formula: table by kind and duty.
    Source: driveline manuals quoted in public; advice only, the manufacturer's limit goes before
        it.
    Example: single joint, continuous -> 25 degrees.

        >>> round(math.degrees(advisory_limit("single", "continuous")))
        25
    """
    if (joint, duty) not in ADVISORY_LIMITS:
        raise RuleRefusal("duty", "no-preferred-angle")
    return ADVISORY_LIMITS[joint, duty]


@rule("joints.wide_angle_offset")
def wide_angle_offset(
    offset: Annotated[float, In("m", -0.5, 0.5)],
    length: Annotated[float, In("m", 0.3, 5.0)],
    turn: Annotated[float, In("rad", 0.0, 1.4)],
) -> OffsetJoint:
    """Joint angles where the center of a wide-angle joint is off the hitch pivot.

    Inputs:
        offset: m, -0.5 to 0.5. Center of the joint ahead of the hitch pivot; behind is negative.
        length: m, 0.3 to 5. Hitch pivot back to the single joint at the machine.
        turn: rad, 0 to 1.4. Angle between tractor and machine seen from above.
    Result: angles of both joints in rad, non-uniformity at the machine.
    Formula: single joint atan(|e| sin(turn) / (l + e cos(turn))), U = tan x sin of it.
    Source: plane geometry; manufacturers ask the pivots to coincide, then the single joint runs
        straight.
    Example: offset 0 -> single joint straight, wide-angle joint takes the whole turn.

        >>> centerd = wide_angle_offset(0.0, 2.0, math.radians(40))
        >>> round(math.degrees(centerd.wide_angle), 9), centerd.non_uniformity
        (40.0, 0.0)
    """
    along, across = length * math.cos(turn) + offset, length * math.sin(turn)
    behind = length + offset * math.cos(turn)
    if behind <= 0:
        raise RuleRefusal("length", "single-joint-ahead")
    single = math.atan2(abs(offset) * math.sin(turn), behind)
    return OffsetJoint(math.atan2(across, along), single, math.tan(single) * math.sin(single))
