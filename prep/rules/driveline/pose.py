"""Driveline geometry: joint positions as tractor and machine turn, pitch, roll and lift.

Conventions. The tractor's frame has its origin at the hitch pivot on top of the drawbar, x ahead,
y left, z up; the PTO shaft lies along x. The machine swings about the hitch pivot:

* turn: positive when the tractor turns left, so that the machine trails to the left;
* pitch: positive in a hollow (machine's rear up), negative over a crest;
* roll: positive when the machine leans left;
* lift: how far the machine stands above its lowered position, measured in its own frame. It
  swings up on a tongue pivoted at both ends and stays level, as a trailed cutter does.

Lengths are meters, angles radians. A span is measured from yoke seat to yoke seat.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Final, NamedTuple

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.driveline.joints import pair_excess
from prep.rules.phrase import Amount, Phrase, phrase

Point = tuple[float, float, float]

# Positions tried between the ends of each motion, ends included: 33 x 13 x 9 x 3 = 11,583 poses.
TURNS, PITCHES, LIFTS, ROLLS = 33, 13, 9, 3

DIGITS: Final = 10  # poses that agree to so many places come to the same
STRAIGHT: Final = 1e-12  # a bend whose sine is below this has no plane of its own


@dataclass(frozen=True)
class Geometry:
    """Fixed dimensions of tractor, hitch and machine, lowered on level ground (all m)."""

    pto_ahead: float  # hitch pivot forward to the end of the PTO shaft
    pto_height: float  # hitch pivot up to the PTO shaft
    tractor_joint: float  # end of the PTO shaft back to the joint's center
    input_behind: float  # hitch pivot back to the end of the machine's input shaft
    input_height: float  # hitch pivot up to the machine's input shaft
    input_side: float  # hitch pivot to the input shaft, left positive
    machine_joint: float  # end of the input shaft forward to the joint's center
    yoke_depth: float = 0.0  # joint's center to the seat of its tube, the same at both ends
    tongue_length: float = 0.0  # hitch pivot to the tongue's pivot; 0 lifts straight up
    tongue_height: float = 0.0  # hitch pivot up to the tongue's pivot, lowered


@dataclass(frozen=True)
class Reach:
    """How far the machine can move against the tractor; each 0 or more."""

    turn: float = 0.0  # rad, to either side
    crest: float = 0.0  # rad
    hollow: float = 0.0  # rad
    lift: float = 0.0  # m
    roll: float = 0.0  # rad, to either side


@dataclass(frozen=True)
class Joints:
    """Which joints pass speed on unevenly, and how the inner yokes stand to each other."""

    in_phase: bool = True
    wide_angle_at_tractor: bool = False
    wide_angle_at_machine: bool = False


class Pose(NamedTuple):
    """One position of the machine and what it does to the driveline."""

    turn: float
    pitch: float
    lift: float
    roll: float
    span: float
    tractor_angle: float
    machine_angle: float
    excess: float  # non-uniformity of the pair, see joints.pair_excess


@dataclass(frozen=True)
class Sweep:
    """The poses that matter out of all that were tried."""

    longest: Pose
    shortest: Pose
    tractor_bend: Pose
    machine_bend: Pose
    most_uneven: Pose
    count: int


def placing(turn: float, pitch: float, roll: float) -> Callable[[float, float, float], Point]:
    """The map from the machine's frame to the tractor's: roll first, then pitch, then turn."""
    turn_sine, turn_cosine = math.sin(turn), math.cos(turn)
    pitch_sine, pitch_cosine = math.sin(pitch), math.cos(pitch)
    roll_sine, roll_cosine = math.sin(roll), math.cos(roll)

    def place(x: float, y: float, z: float) -> Point:
        side = y * roll_cosine + z * roll_sine
        up = z * roll_cosine - y * roll_sine
        ahead = x * pitch_cosine + up * pitch_sine
        return (
            ahead * turn_cosine + side * turn_sine,
            side * turn_cosine - ahead * turn_sine,
            up * pitch_cosine - x * pitch_sine,
        )

    return place


def tractor_joint_center(geometry: Geometry) -> Point:
    """Center of the joint at the tractor, in the tractor's frame."""
    return (geometry.pto_ahead - geometry.tractor_joint, 0.0, geometry.pto_height)


def machine_joint_center(geometry: Geometry, lift: float) -> Point:
    """Center of the joint at the machine, in the machine's frame."""
    behind = geometry.input_behind - geometry.machine_joint - _drawn_forward(geometry, lift)
    return (-behind, geometry.input_side, geometry.input_height + lift)


def _drawn_forward(geometry: Geometry, lift: float) -> float:
    """How far the swing of the tongue draws the machine forward when it lifts."""
    tongue, lowered = geometry.tongue_length, geometry.tongue_height
    if tongue == 0:
        return 0.0
    if max(abs(lowered), abs(lowered + lift)) >= tongue:
        raise RuleRefusal("tongue_length", "tongue-too-short")
    return math.sqrt(tongue**2 - lowered**2) - math.sqrt(tongue**2 - (lowered + lift) ** 2)


def measure(
    geometry: Geometry, joints: Joints, turn: float, pitch: float, lift: float, roll: float
) -> Pose:
    """Span, joint angles and non-uniformity in one pose.

    Raises RuleRefusal where the yoke seats meet or a joint would bend past a right angle.
    """
    place = placing(turn, pitch, roll)
    axis_x, axis_y, axis_z = place(-1.0, 0.0, 0.0)
    from_x, from_y, from_z = tractor_joint_center(geometry)
    to_x, to_y, to_z = place(*machine_joint_center(geometry, lift))
    x, y, z = to_x - from_x, to_y - from_y, to_z - from_z
    distance = math.sqrt(x * x + y * y + z * z)
    span = distance - 2 * geometry.yoke_depth
    along_machine = x * axis_x + y * axis_y + z * axis_z
    if span <= 0 or x >= 0 or along_machine <= 0:
        raise _impossible(turn, pitch, lift, span)
    # Normals of the planes in which the two joints bend; their twist puts the yokes out of phase.
    normal_x = y * axis_z - z * axis_y
    normal_y = z * axis_x - x * axis_z
    normal_z = x * axis_y - y * axis_x
    across_tractor = math.sqrt(y * y + z * z)
    across_machine = math.sqrt(normal_x**2 + normal_y**2 + normal_z**2)
    both = across_tractor * across_machine
    twist_cosine = (z * normal_y - y * normal_z) / both if both > STRAIGHT * distance else 1.0
    square = min(twist_cosine * twist_cosine, 1.0)
    excess = pair_excess(
        1.0 if joints.wide_angle_at_tractor else -x / distance,
        1.0 if joints.wide_angle_at_machine else along_machine / distance,
        1.0 - square if joints.in_phase else square,
    )
    tractor_angle = math.atan2(across_tractor, -x)
    machine_angle = math.atan2(across_machine, along_machine)
    return Pose(turn, pitch, lift, roll, span, tractor_angle, machine_angle, excess)


def _impossible(turn: float, pitch: float, lift: float, span: float) -> RuleRefusal:
    """The refusal of a pose in which the yoke seats meet or a joint bends past a right angle."""
    turned, pitched, lifted = _angle(turn), _angle(pitch), Amount(lift, "m")
    if span <= 0:
        return RuleRefusal("turn", "yoke-seats-meet", turn=turned, pitch=pitched, lift=lifted)
    return RuleRefusal("turn", "joint-bends-too-far", turn=turned, pitch=pitched, lift=lifted)


def sweep(geometry: Geometry, reach: Reach, joints: Joints) -> Sweep:
    """Try the machine all over its reach; the ends of every motion are among the poses.

    Of poses that come to the same, the one nearest to straight, level and lowered is kept, and a
    left turn before a right one.
    """
    poses = [
        measure(geometry, joints, turn, pitch, lift, roll)
        for turn, pitch, lift, roll in product(
            _steps(-reach.turn, reach.turn, TURNS),
            _steps(-reach.crest, reach.hollow, PITCHES),
            _steps(0.0, reach.lift, LIFTS),
            _steps(-reach.roll, reach.roll, ROLLS),
        )
    ]
    return Sweep(
        longest=max(poses, key=lambda pose: round(pose.span, DIGITS)),
        shortest=min(poses, key=lambda pose: round(pose.span, DIGITS)),
        tractor_bend=max(poses, key=lambda pose: round(pose.tractor_angle, DIGITS)),
        machine_bend=max(poses, key=lambda pose: round(pose.machine_angle, DIGITS)),
        most_uneven=max(poses, key=lambda pose: round(pose.excess, DIGITS)),
        count=len(poses),
    )


def _steps(least: float, most: float, count: int) -> tuple[float, ...]:
    if most == least:
        return (least,)
    inner = (least + (most - least) * step / (count - 1) for step in range(1, count - 1))
    return tuple(sorted((most, *inner, least), key=abs))


def describe(pose: Pose, reach: Reach, one_sided: bool) -> tuple[Phrase, ...]:
    """A pose as a technician would set it up: full left turn, in a hollow, lowered.

    Unless `one_sided`, left and right are alike and the phrases say so.
    """
    parts = [_turn_phrase(pose.turn, reach.turn, one_sided)]
    if pose.pitch > 0:
        parts.append(_hollow_phrase(pose.pitch, reach.hollow))
    elif pose.pitch < 0:
        parts.append(_crest_phrase(-pose.pitch, reach.crest))
    if reach.lift:
        parts.append(_lift_phrase(pose.lift, reach.lift))
    if pose.roll:
        parts.append(_roll_phrase(pose, one_sided))
    return tuple(parts)


def _angle(radians: float) -> Amount:
    """An angle to the degree: nobody sets a machine up closer by eye."""
    return Amount(math.radians(round(math.degrees(radians))), "rad")


def _turn_phrase(turn: float, most: float, one_sided: bool) -> Phrase:
    if turn == 0:
        return phrase("straight-ahead")
    angle = _angle(abs(turn))
    if abs(turn) == most:
        if not one_sided:
            return phrase("full-turn")
        return phrase("full-left-turn") if turn > 0 else phrase("full-right-turn")
    if not one_sided:
        return phrase("turn", angle=angle)
    return phrase("left-turn", angle=angle) if turn > 0 else phrase("right-turn", angle=angle)


def _hollow_phrase(pitch: float, most: float) -> Phrase:
    return phrase("hollow") if pitch == most else phrase("part-hollow", angle=_angle(pitch))


def _crest_phrase(pitch: float, most: float) -> Phrase:
    return phrase("crest") if pitch == most else phrase("part-crest", angle=_angle(pitch))


def _lift_phrase(lift: float, most: float) -> Phrase:
    if lift == 0:
        return phrase("lowered")
    return phrase("raised") if lift == most else phrase("part-raised", percent=f"{lift / most:.0%}")


def _roll_phrase(pose: Pose, one_sided: bool) -> Phrase:
    if one_sided:
        return phrase("leaning-left") if pose.roll > 0 else phrase("leaning-right")
    if pose.turn == 0:
        return phrase("leaning")
    if pose.turn * pose.roll > 0:
        return phrase("leaning-into-turn")
    return phrase("leaning-out-of-turn")
