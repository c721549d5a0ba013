"""Blades of a rotary cutter: speed, hand, weight, overlap and the torque of their fasteners.

Before anyone reaches under a deck: drive off, key out, blades stopped, deck blocked. Torques,
weights and overlaps are the model's own data; no general figure stands in for them.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule

TipCircle = Annotated[float, In("m", 0.05, 6.0)]
Rotation = Annotated[float, In("1/s", 0.0, 200.0)]
Hand = Annotated[str, OneOf(("clockwise", "counter-clockwise"))]
Torque = Annotated[float, In("N·m", 0.0, 3000.0)]

FOOT_PER_MINUTE: Final = 0.00508  # m/s

# The only published tip-speed figure found. It is for turf-care mowers, so it advises here.
TURF_TIP_SPEED: Final = 19_000 * FOOT_PER_MINUTE
# ANSI B71.1 and B71.4. No published figure for large rotary mowers was found.
TURF_SCOPE: Final = "turf-care-mowers"

Fastened = Literal["conforms", "too-loose", "too-tight", "slot-not-in-line"]


@dataclass(frozen=True)
class TipSpeedAdvisory:
    """A tip speed compared with a published figure whose scope is stated."""

    finding: Literal["above-published", "not-above-published"]
    published: Annotated[float, Unit("m/s")]
    margin: Annotated[float, Unit("m/s")]
    scope: Literal["turf-care-mowers"]


@dataclass(frozen=True)
class BladeHand:
    """Which way a spindle turns, seen from above, and whether the blade's cutting edge leads."""

    spindle: str
    finding: Literal["edge-leads", "edge-trails"]


@dataclass(frozen=True)
class PairMatch:
    """Two blades of one carrier against the difference the model allows."""

    finding: Literal["matched", "unmatched"]
    difference: Annotated[float, Unit("kg")]
    advice: Advice | None


@dataclass(frozen=True)
class Overlap:
    """How far two cutting circles overlap across the direction of travel; a gap is negative."""

    finding: Literal["overlap", "uncut-strip"]
    overlap: Annotated[float, Unit("m")]


@dataclass(frozen=True)
class TorquePair:
    """A blade bolt and its carrier nut, each judged both ways."""

    bolt: Fastened
    carrier: Fastened
    advice: tuple[Advice, ...]


@rule("blades.tip_speed")
def tip_speed(tip_circle: TipCircle, speed: Rotation) -> Annotated[float, Unit("m/s")]:
    """Blade tip speed.

    Inputs:
        tip_circle: m, 0.05 to 6. Tip to tip with the blades swung out: a diameter, not a radius.
        speed: 1/s, 0 to 200. Turns of the spindle.
    Result: m/s.
    Formula: v = pi D n.
    Source: arithmetic of a circle; published pairs (19 in at 4000 rpm, 19 897 ft/min).
    Example: 19 in at 4000 rpm -> 19 897 ft/min.

        >>> round(tip_speed(19 * 0.0254, 4000 / 60) / 0.00508)
        19897
    """
    return math.pi * tip_circle * speed


@rule("blades.largest_tip_circle")
def largest_tip_circle(
    tip_speed: Annotated[float, In("m/s", 0.0, 200.0)],
    speed: Annotated[float, In("1/s", 0.1, 200.0)],
) -> Annotated[float, Unit("m")]:
    """Largest tip circle diameter for a tip speed.

    Inputs:
        tip_speed: m/s, 0 to 200. Speed not to be passed.
        speed: 1/s, 0.1 to 200. Turns of the spindle.
    Result: m, tip to tip.
    Formula: D = v / (pi n).
    Source: arithmetic of a circle; a published "just over 20 in".
    Example: 19 000 ft/min at 3600 rpm -> 20.16 in.

        >>> round(largest_tip_circle(96.52, 60) / 0.0254, 2)
        20.16
    """
    return tip_speed / (math.pi * speed)


@rule("blades.spindle_speed")
def spindle_speed(
    pto_speed: Annotated[float, In("1/s", 0.0, 50.0)],
    ratios: Annotated[tuple[float, ...], In("1", 0.1, 10.0)],
) -> Annotated[float, Unit("1/s")]:
    """Rotational speed of a blade spindle behind its gearboxes.

    Inputs:
        pto_speed: 1/s, 0 to 50. Turns of the tractor's PTO.
        ratios: 1, 0.1 to 10. Out turns for one in turn, for each gearbox or belt on the way.
    Result: 1/s.
    Formula: n = n_PTO x product of the ratios.
    Source: arithmetic of gears; published PTO speed 540 rpm = 9 turns a second.
    Example: 540 rpm straight through -> 9 per second.

        >>> spindle_speed(540 / 60, (1.0,))
        9.0
    """
    return pto_speed * math.prod(ratios)


@rule("blades.tip_speed_advisory")
def tip_speed_advisory(
    tip_speed: Annotated[float, In("m/s", 0.0, 200.0)],
) -> TipSpeedAdvisory:
    """Blade tip speed compared with the published limit for turf mowers.

    Inputs:
        tip_speed: m/s, 0 to 200. Speed of the blade's tip.
    Result: the finding, m/s published and left to it, and the scope of the figure.
    Formula: margin = published - speed; above it only when the margin is negative.
    Source: ANSI B71.1 and B71.4, 19 000 ft/min, for turf-care mowers; advisory elsewhere.
    Example: 19 000 ft/min is not above it.

        >>> tip_speed_advisory(96.52).finding
        'not-above-published'
    """
    margin = round(TURF_TIP_SPEED - tip_speed, 9)
    finding: Literal["above-published", "not-above-published"] = "not-above-published"
    if margin < 0:
        finding = "above-published"
    return TipSpeedAdvisory(finding, TURF_TIP_SPEED, margin, TURF_SCOPE)


@rule("blades.hand")
def hand(
    input_rotation: Hand,
    reversals: Annotated[int, OneOf((0, 1, 2, 3, 4, 5))],
    blade: Hand,
) -> BladeHand:
    """Rotation of a blade spindle, and whether the blade's cutting edge leads.

    Inputs:
        input_rotation: one of clockwise, counter-clockwise. Of the shaft that drives, as the
            model's drawing shows it.
        reversals: one of 0, 1, 2, 3, 4, 5. Meshes on the way that turn it round; a belt does not.
        blade: one of clockwise, counter-clockwise. Turning that leads with the blade's edge.
    Result: the spindle's rotation, and whether the edge leads.
    Formula: an odd count of reversals turns the rotation round.
    Source: gear meshing; common practice, no published source.
    Example: clockwise in, one mesh, clockwise blade -> the edge trails.

        >>> hand("clockwise", 1, "clockwise")
        BladeHand(spindle='counter-clockwise', finding='edge-trails')
    """
    other = "counter-clockwise" if input_rotation == "clockwise" else "clockwise"
    spindle = other if reversals % 2 else input_rotation
    return BladeHand(spindle, "edge-leads" if blade == spindle else "edge-trails")


@rule("blades.pair_weights")
def pair_weights(
    first: Annotated[float, In("kg", 0.05, 100.0)],
    second: Annotated[float, In("kg", 0.05, 100.0)],
    allowed: Annotated[float, In("kg", 0.0, 5.0)],
) -> PairMatch:
    """Weight match of the two blades of one carrier.

    Inputs:
        first: kg, 0.05 to 100. One blade.
        second: kg, 0.05 to 100. The blade opposite.
        allowed: kg, 0 to 5. Difference the model allows.
    Result: the finding and kg of difference.
    Formula: |m1 - m2| compared with what is allowed.
    Source: common practice, no published source; blades are replaced in pairs.
    Example: 8.00 and 8.05 kg where 0.03 kg is allowed -> unmatched.

        >>> pair_weights(8.00, 8.05, 0.03).finding
        'unmatched'
    """
    difference = round(abs(first - second), 9)
    if difference <= round(allowed, 9):
        return PairMatch("matched", difference, None)
    return PairMatch("unmatched", difference, Advice("fit-matched-blades", difference, "kg"))


@rule("blades.unbalanced_force")
def unbalanced_force(
    difference: Annotated[float, In("kg", 0.0, 5.0)],
    radius: Annotated[float, In("m", 0.02, 3.0)],
    speed: Rotation,
) -> Annotated[float, Unit("N")]:
    """Rotating unbalance force of an unmatched blade pair.

    Inputs:
        difference: kg, 0 to 5. Difference of the two blades.
        radius: m, 0.02 to 3. Spindle center to the blade's center of mass: a radius here.
        speed: 1/s, 0 to 200. Turns of the spindle.
    Result: N.
    Formula: F = m r (2 pi n)^2.
    Source: circular motion, any mechanics text; the example is computed.
    Example: 0.05 kg at 0.5 m, 16 per second -> 253 N.

        >>> round(unbalanced_force(0.05, 0.5, 16))
        253
    """
    return difference * radius * (2 * math.pi * speed) ** 2


@rule("blades.overlap")
def overlap(
    first_circle: TipCircle,
    second_circle: TipCircle,
    spindle_distance: Annotated[float, In("m", 0.02, 8.0)],
    stagger: Annotated[float, In("m", 0.0, 4.0)],
) -> Overlap:
    """Overlap of the cutting circles of neighboring blades.

    Inputs:
        first_circle: m, 0.05 to 6. Tip to tip of one spindle: a diameter.
        second_circle: m, 0.05 to 6. Tip to tip of the next.
        spindle_distance: m, 0.02 to 8. Between the spindle centers, straight.
        stagger: m, 0 to 4. How far one spindle stands ahead of the other.
    Result: the finding and m of overlap across the direction of travel, a gap negative.
    Formula: (D1 + D2) / 2 - sqrt(distance^2 - stagger^2).
    Source: geometry of two circles.
    Example: two circles of 60 in, 58 in apart in line -> 2 in.

        >>> i = 0.0254
        >>> round(overlap(60 * i, 60 * i, 58 * i, 0).overlap / i, 6)
        2.0
    """
    if stagger >= spindle_distance:
        raise RuleRefusal("stagger", "stagger-too-long")
    across = math.sqrt(spindle_distance**2 - stagger**2)
    covered = round((first_circle + second_circle) / 2 - across, 9)
    return Overlap("overlap" if covered > 0 else "uncut-strip", covered)


@rule("blades.cut_width")
def cut_width(
    tip_circles: Annotated[tuple[float, ...], In("m", 0.05, 6.0)],
    overlaps: Annotated[tuple[float, ...], In("m", -0.5, 3.0)],
) -> Annotated[float, Unit("m")]:
    """Cutting width of a row of spindles.

    Inputs:
        tip_circles: m, 0.05 to 6. Tip to tip of each spindle, from left to right.
        overlaps: m, -0.5 to 3. Overlap of each with the next; one fewer than the circles.
    Result: m.
    Formula: w = sum of D - sum of overlaps.
    Source: geometry of circles in a row.
    Example: three of 60 in with 2 in between each -> 176 in.

        >>> i = 0.0254
        >>> round(cut_width((60 * i, 60 * i, 60 * i), (2 * i, 2 * i)) / i, 6)
        176.0
    """
    if len(overlaps) + 1 != len(tip_circles):
        raise RuleRefusal("overlaps", "one-overlap-for-each-pair")
    return math.fsum(tip_circles) - math.fsum(overlaps)


@rule("blades.torque_pair")
def torque_pair(
    bolt: Torque,
    bolt_least: Torque,
    bolt_most: Torque,
    carrier: Torque,
    carrier_least: Torque,
    carrier_most: Torque,
    slot_in_line: bool,
) -> TorquePair:
    """Torque of a blade bolt and its carrier nut against their ranges.

    Inputs:
        bolt: N·m, 0 to 3000. Final torque of the blade bolt or its nut.
        bolt_least: N·m, 0 to 3000. Least the model allows for it.
        bolt_most: N·m, 0 to 3000. Most the model allows for it.
        carrier: N·m, 0 to 3000. Final torque of the carrier nut.
        carrier_least: N·m, 0 to 3000. Least the model allows for it.
        carrier_most: N·m, 0 to 3000. Most the model allows for it.
        slot_in_line: yes or no. Whether the cotter pin goes through; yes where there is none.
    Result: what is found of each, and what to do, with amounts in N·m.
    Formula: least <= torque <= most for each; a slot is reached by tightening, never by backing.
    Source: manufacturers' manuals (carrier nut 250 to 350 lbf-ft, on to the next slot).
    Example: 450 lbf-ft in 430 to 470, carrier 300 in 250 to 350 with the slot in line.

        >>> f = 1.3558179483314
        >>> pair = torque_pair(450 * f, 430 * f, 470 * f, 300 * f, 250 * f, 350 * f, True)
        >>> pair.bolt, pair.carrier, pair.advice
        ('conforms', 'conforms', ())
    """
    bolt_finding = _fastened("bolt_most", bolt, bolt_least, bolt_most)
    finding = _fastened("carrier_most", carrier, carrier_least, carrier_most)
    advice = []
    if bolt_finding == "too-loose":
        advice.append(Advice("tighten-blade-bolt", bolt_least, "N·m"))
    elif bolt_finding == "too-tight":
        advice.append(Advice("redo-blade-bolt", bolt_most, "N·m"))
    if finding == "too-loose":
        advice.append(Advice("tighten-carrier-nut", carrier_least, "N·m"))
    elif finding == "too-tight":
        advice.append(Advice("redo-carrier-nut", carrier_most, "N·m"))
    elif not slot_in_line:
        finding = "slot-not-in-line"
        advice.append(Advice("tighten-to-next-slot", carrier_most, "N·m"))
    return TorquePair(bolt_finding, finding, tuple(advice))


def _fastened(field: str, torque: float, least: float, most: float) -> Fastened:
    if most < least:
        raise RuleRefusal(field, "window-swapped")
    if torque < least:
        return "too-loose"
    return "too-tight" if torque > most else "conforms"
