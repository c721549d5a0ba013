"""Driveline extremes over a machine's reach: length, joint angles and non-uniformity.

Frame, signs and where spans are measured: see prep.rules.driveline.pose.
"""

import math
from dataclasses import dataclass
from typing import Annotated

from prep.rules.catalog.catalog import In, OneOf, Unit, rule
from prep.rules.driveline.joints import excess_non_uniformity
from prep.rules.driveline.pose import Geometry, Joints, Reach, describe, sweep
from prep.rules.phrase import Phrase


@dataclass(frozen=True)
class Extremes:
    """What the driveline must bear over the machine's whole reach, and in which pose."""

    longest: Annotated[float, Unit("m")]
    longest_pose: tuple[Phrase, ...]
    shortest: Annotated[float, Unit("m")]
    shortest_pose: tuple[Phrase, ...]
    tractor_angle: Annotated[float, Unit("rad")]
    tractor_angle_pose: tuple[Phrase, ...]
    machine_angle: Annotated[float, Unit("rad")]
    machine_angle_pose: tuple[Phrase, ...]
    tube_non_uniformity: Annotated[float, Unit("1")]
    machine_non_uniformity: Annotated[float, Unit("1")]
    machine_non_uniformity_pose: tuple[Phrase, ...]
    poses: Annotated[int, Unit("1")]


@rule("driveline.extremes")
def extremes(
    pto_ahead: Annotated[float, In("m", 0.0, 1.5)],
    pto_height: Annotated[float, In("m", -0.5, 1.0)],
    tractor_joint: Annotated[float, In("m", 0.0, 0.6)],
    input_behind: Annotated[float, In("m", 0.3, 6.0)],
    input_height: Annotated[float, In("m", -0.5, 1.5)],
    machine_joint: Annotated[float, In("m", 0.0, 0.6)],
    turn: Annotated[float, In("rad", 0.0, 1.4)],
    crest: Annotated[float, In("rad", 0.0, 0.7)] = 0.0,
    hollow: Annotated[float, In("rad", 0.0, 0.7)] = 0.0,
    lift: Annotated[float, In("m", 0.0, 1.5)] = 0.0,
    roll: Annotated[float, In("rad", 0.0, 0.7)] = 0.0,
    input_side: Annotated[float, In("m", -2.0, 2.0)] = 0.0,
    yoke_depth: Annotated[float, In("m", 0.0, 0.3)] = 0.0,
    tongue_length: Annotated[float, In("m", 0.0, 6.0)] = 0.0,
    tongue_height: Annotated[float, In("m", -1.0, 1.0)] = 0.0,
    wide_angle: Annotated[str, OneOf(("none", "tractor", "machine", "both"))] = "none",
    in_phase: bool = True,
) -> Extremes:
    """Extremes of driveline length, joint angle and non-uniformity over the machine's reach.

    Inputs:
        pto_ahead: m, 0 to 1.5. Hitch pivot forward to the end of the PTO shaft.
        pto_height: m, -0.5 to 1. Hitch pivot up to the PTO shaft.
        tractor_joint: m, 0 to 0.6. End of the PTO shaft back to the joint's center.
        input_behind: m, 0.3 to 6. Hitch pivot back to the end of the machine's input shaft.
        input_height: m, -0.5 to 1.5. Hitch pivot up to the input shaft, machine lowered.
        machine_joint: m, 0 to 0.6. End of the input shaft forward to the joint's center.
        turn: rad, 0 to 1.4. Sharpest turn to either side, tractor against machine.
        crest: rad, 0 to 0.7. Most pitch over a crest, machine's rear down.
        hollow: rad, 0 to 0.7. Most pitch in a hollow, machine's rear up.
        lift: m, 0 to 1.5. Travel of the machine from lowered to raised.
        roll: rad, 0 to 0.7. Most lean to either side.
        input_side: m, -2 to 2. Hitch pivot to the input shaft, left positive.
        yoke_depth: m, 0 to 0.3. Joint's center to the seat of its tube; 0 gives spans between
            joint centers.
        tongue_length: m, 0 to 6. Hitch pivot to the tongue's rear pivot; 0 lifts straight up.
        tongue_height: m, -1 to 1. Hitch pivot up to that pivot, machine lowered.
        wide_angle: one of none, tractor, machine, both. Where a wide-angle joint is fitted.
        in_phase: yes or no. Inner yokes stand in one plane; no means a quarter turn out.
    Result: greatest and least span in m, joint angles in rad, non-uniformity of the tube between
        the joints and of the machine's shaft, each with its pose; number of poses tried.
    Formula: rotation of the machine about the hitch pivot; distance and angles of vectors;
        non-uniformity as for two joints in series, the planes of the two bends putting the yokes
        out of phase.
    Source: geometry. General guidance; the manufacturer's limits judge the result.
    Example: by hand, in plan, joints 0.3 m ahead and 0.5 m behind the pivot, 60 degrees of turn
        (cosine law with 120 degrees between the arms) -> 0.7 m, 0.8 m straight ahead.

        >>> reach = extremes(0.3, 0, 0, 0.5, 0, 0, turn=math.radians(60))
        >>> round(reach.shortest, 9), *map(str, reach.shortest_pose)
        (0.7, 'full-turn')
        >>> round(reach.longest, 9), *map(str, reach.longest_pose)
        (0.8, 'straight-ahead')
    """
    geometry = Geometry(
        pto_ahead,
        pto_height,
        tractor_joint,
        input_behind,
        input_height,
        input_side,
        machine_joint,
        yoke_depth,
        tongue_length,
        tongue_height,
    )
    reach = Reach(turn, crest, hollow, lift, roll)
    joints = Joints(in_phase, wide_angle in ("tractor", "both"), wide_angle in ("machine", "both"))
    poses = sweep(geometry, reach, joints)
    one_sided = input_side != 0
    bend = poses.tractor_bend.tractor_angle
    return Extremes(
        longest=poses.longest.span,
        longest_pose=describe(poses.longest, reach, one_sided),
        shortest=poses.shortest.span,
        shortest_pose=describe(poses.shortest, reach, one_sided),
        tractor_angle=bend,
        tractor_angle_pose=describe(poses.tractor_bend, reach, one_sided),
        machine_angle=poses.machine_bend.machine_angle,
        machine_angle_pose=describe(poses.machine_bend, reach, one_sided),
        tube_non_uniformity=0.0
        if joints.wide_angle_at_tractor
        else math.tan(bend) * math.sin(bend),
        machine_non_uniformity=excess_non_uniformity(poses.most_uneven.excess),
        machine_non_uniformity_pose=describe(poses.most_uneven, reach, one_sided),
        poses=poses.count,
    )
