"""Tightening torque by friction in thread and under the head: the long form.

A coefficient of friction is not a nut factor. Friction 0.20 and 0.15 on an M12 of class 8.8 gives
115 and 89 N·m for a clamp load that nut factors 0.20 and 0.15 reach at 88 and 66 N·m.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule
from prep.rules.fastening.fastener_grades import GradeName, strength_row
from prep.rules.fastening.threads import THREADS, ThreadName

HALF_PROFILE: Final = math.radians(30)  # both inch and metric threads have 60° flanks
TEXTBOOK_COLLAR: Final = 0.625  # mean collar radius over half the diameter is 1.25 / 2


@rule("friction.torque")
def torque(
    thread: ThreadName,
    clamp: Annotated[float, In("N", 0.0, 5e6)],
    thread_friction: Annotated[float, In("1", 0.02, 0.6)],
    head_friction: Annotated[float, In("1", 0.02, 0.6)],
    washer_face: Annotated[float, In("m", 0.002, 0.3)],
    hole: Annotated[float, In("m", 0.001, 0.2)],
) -> Annotated[float, Unit("N·m")]:
    """Torque for a clamp load by friction in thread and under the head.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        clamp: N, 0 to 5000000. Load wanted in the bolt.
        thread_friction: 1, 0.02 to 0.6. Coefficient of friction in the thread; not a nut factor.
        head_friction: 1, 0.02 to 0.6. Coefficient of friction under the part that is turned.
        washer_face: m, 0.002 to 0.3. Outer diameter of the bearing face.
        hole: m, 0.001 to 0.2. Inner diameter of the bearing face.
    Result: N·m.
    Formula: M = F (P / (2 pi) + d2 mu_G / (2 cos 30 deg) + mu_K (dw + dh) / 4), printed with
        0.159 P + 0.577 d2 mu_G + mu_K DKm / 2.
    Source: VDI 2230 sheet 1; the same sum in US preloaded-bolt practice.
    Example: M10x1.25 at 46.4 kN, friction 0.12, face 15.33 mm, hole 11 mm -> 75 N·m.

        >>> round(torque("M10x1.25", 46_400, 0.12, 0.12, 0.01533, 0.011))
        75
    """
    if hole >= washer_face:
        raise RuleRefusal("hole", "hole-too-wide")
    size = THREADS[thread]
    stretch = size.pitch / (2 * math.pi)
    flanks = size.pitch_diameter * thread_friction / (2 * math.cos(HALF_PROFILE))
    face = head_friction * (washer_face + hole) / 4
    return clamp * (stretch + flanks + face)


@rule("friction.textbook_torque")
def textbook_torque(
    thread: ThreadName,
    clamp: Annotated[float, In("N", 0.0, 5e6)],
    thread_friction: Annotated[float, In("1", 0.02, 0.6)],
    collar_friction: Annotated[float, In("1", 0.02, 0.6)],
) -> Annotated[float, Unit("N·m")]:
    """Torque for a clamp load by friction, textbook form with a collar of 1.25 diameters.

    Inputs:
        thread: one of the designations in the table, such as 3/4-16 UNF or M12. The bolt's thread.
        clamp: N, 0 to 5000000. Load wanted in the bolt.
        thread_friction: 1, 0.02 to 0.6. Coefficient of friction in the thread; not a nut factor.
        collar_friction: 1, 0.02 to 0.6. Coefficient of friction under the head or nut.
    Result: N·m.
    Formula: T = (F dm / 2) (tan l + f sec a) / (1 - f tan l sec a) + 0.625 F fc d, with
        tan l = p / (pi dm), dm = d - 0.649519 p and a = 30 deg.
    Source: Mechanical Engineering Design (US university text), chapter on screws and fasteners.
    Example: 3/4-16, 25 kip, f = fc = 0.15 -> 3551 lbf-in (example 8-3, part c; answer recomputed).

        >>> round(textbook_torque("3/4-16 UNF", 25000 * 4.4482216, 0.15, 0.15) / 0.11298483)
        3551
    """
    size = THREADS[thread]
    lead = size.pitch / (math.pi * size.pitch_diameter)
    wedge = thread_friction / math.cos(HALF_PROFILE)
    thread_part = size.pitch_diameter / 2 * (lead + wedge) / (1 - wedge * lead)
    return clamp * (thread_part + TEXTBOOK_COLLAR * collar_friction * size.diameter)


@rule("friction.assembly_preload")
def assembly_preload(
    thread: ThreadName,
    grade: GradeName,
    thread_friction: Annotated[float, In("1", 0.02, 0.6)],
    share_of_yield: Annotated[float, In("1", 0.1, 1.0)] = 0.9,
) -> Annotated[float, Unit("N")]:
    """Assembly preload of a bolt at a share of its yield strength.

    Inputs:
        thread: one of the designations in the table, such as M12 or M12x1.25. The bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        thread_friction: 1, 0.02 to 0.6. Coefficient of friction in the thread; not a nut factor.
        share_of_yield: 1, 0.1 to 1. Combined stress over yield strength.
    Result: N.
    Formula: F = share Rp A0 / sqrt(1 + 3 (1.5 (d2 / d0) (P / (pi d2) + 1.155 mu_G))^2), with
        d0 = (d2 + d3) / 2 and A0 the stress area.
    Source: VDI 2230 sheet 1 (formula: value from memory; it reproduces the published table).
    Example: M16x1.5 class 8.8, friction 0.14 -> 85.5 kN in the table, 85.6 by the formula.

        >>> round(assembly_preload("M16x1.5", "class 8.8", 0.14) / 1000, 1)
        85.6
    """
    size = THREADS[thread]
    stress_diameter = (size.pitch_diameter + size.root_diameter) / 2
    slope = size.pitch / (math.pi * size.pitch_diameter)
    slope += thread_friction / math.cos(HALF_PROFILE)
    twist = 1.5 * size.pitch_diameter / stress_diameter * slope
    yield_load = strength_row(size, grade).yield_ * size.stress_area
    return share_of_yield * yield_load / math.sqrt(1 + 3 * twist**2)


@dataclass(frozen=True)
class Assembly:
    """Greatest assembly preload, the torque that reaches it, and the least preload to count on."""

    preload: Annotated[float, Unit("N")]
    torque: Annotated[float, Unit("N·m")]
    least_preload: Annotated[float, Unit("N")]


@rule("friction.assembly")
def assembly(
    thread: ThreadName,
    grade: GradeName,
    friction: Annotated[float, In("1", 0.02, 0.6)],
    washer_face: Annotated[float, In("m", 0.002, 0.3)],
    hole: Annotated[float, In("m", 0.001, 0.2)],
    tightening_factor: Annotated[float, In("1", 1.0, 4.0)] = 1.8,
) -> Assembly:
    """Assembly preload and torque of a bolt at 90 % of its yield strength.

    Inputs:
        thread: one of the designations in the table, such as M12 or M12x1.25. The bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        friction: 1, 0.02 to 0.6. Coefficient of friction, taken alike in thread and under head.
        washer_face: m, 0.002 to 0.3. Outer diameter of the bearing face.
        hole: m, 0.001 to 0.2. Inner diameter of the bearing face.
        tightening_factor: 1, 1 to 4. Greatest over least preload of the way of tightening; 1.8
            in the published example with a torque wrench.
    Result: greatest preload and least preload in N, torque in N·m.
    Formula: preload and torque as in the two rules above; least preload = preload / factor.
    Source: VDI 2230 sheet 1, fine-thread table and guidance example.
    Example: M16x1.5 class 8.8, friction 0.12, face 23.17 mm, hole 17.5 mm -> 218 N·m in the
        table, whose bearing diameters are not printed; within 2.1 %.

        >>> abs(assembly("M16x1.5", "class 8.8", 0.12, 0.02317, 0.0175).torque / 218 - 1) < 0.021
        True
    """
    preload = assembly_preload(thread, grade, friction)
    turning = torque(thread, preload, friction, friction, washer_face, hole)
    return Assembly(preload, turning, preload / tightening_factor)
