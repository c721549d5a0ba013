"""Cylinder motion: speed, re-phasing sets, order of motion, trapped oil and leakage."""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.hydraulics.cylinders import (
    Bore,
    Bores,
    Direction,
    Rod,
    Rods,
    piston_area,
    same_length,
    working_area,
)

Load = Annotated[float, In("N", 0.0, 1e7)]
LeverRatio = Annotated[float, In("1", 0.01, 100.0)]
Holding = Annotated[str, OneOf(("cap end", "rod end"))]
BulkModulus = Annotated[float, In("Pa", 5e8, 5e9)]


@dataclass(frozen=True)
class SeriesSet:
    """Cap-end pressure of each cylinder, and its travel for one unit of the first one's travel."""

    pressures: Annotated[tuple[float, ...], Unit("Pa")]
    travels: Annotated[tuple[float, ...], Unit("1")]


@dataclass(frozen=True)
class MotionOrder:
    """Which of two cylinders on one hose moves first, and by how much pressure it is sure."""

    first: Literal["lift", "fold", "either"]
    lift_pressure: Annotated[float, Unit("Pa")]
    fold_pressure: Annotated[float, Unit("Pa")]
    margin: Annotated[float, Unit("Pa")]


@dataclass(frozen=True)
class Drift:
    """Drift speed of a held cylinder and of its load."""

    rod: Annotated[float, Unit("m/s")]
    load: Annotated[float, Unit("m/s")]


@rule("hydraulics.speed")
def speed(
    bore: Bore,
    rod: Rod,
    flow: Annotated[float, In("m^3/s", 0.0, 0.02)],
    direction: Direction,
) -> Annotated[float, Unit("m/s")]:
    """Speed of a cylinder rod.

    Inputs:
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        flow: m^3/s, 0 to 0.02. Oil the cylinder is given.
        direction: one of extend, retract. Which way the rod moves.
    Result: m/s.
    Formula: v = q / A; in inches and US gallons v = 231 gpm / (60 A).
    Source: fluid-power formula page; the example is computed from it.
    Example: 15 gpm, 6 in bore, 3 in rod -> 2.04 in/s out.

        >>> gpm = 231 * 0.0254**3 / 60
        >>> round(speed(6 * 0.0254, 3 * 0.0254, 15 * gpm, "extend") / 0.0254, 2)
        2.04
    """
    return flow / working_area(bore, rod, direction)


@rule("hydraulics.next_bore")
def next_bore(
    bore: Bore,
    rod: Rod,
) -> Annotated[float, Unit("m")]:
    """Bore of the next cylinder in a re-phasing set.

    Inputs:
        bore: m, 0.005 to 0.5. Bore of the cylinder before it.
        rod: m, 0 to 0.45. Rod of the cylinder before it.
    Result: m, the bore that makes both rods move the same distance.
    Formula: ring area of the first = bore area of the second: D2 = sqrt(D1^2 - d1^2).
    Source: trade-magazine article on re-phasing cylinders (condition); example computed from it.
    Example: 4 in bore with a 1.5 in rod -> 3.708 in.

        >>> round(next_bore(4 * 0.0254, 1.5 * 0.0254) / 0.0254, 3)
        3.708
    """
    return math.sqrt(working_area(bore, rod, "retract") * 4 / math.pi)


@rule("hydraulics.series_set")
def series_set(
    loads: Annotated[tuple[float, ...], In("N", 0.0, 1e7)],
    bores: Bores,
    rods: Rods,
) -> SeriesSet:
    """Pressures and travels of cylinders in series, extending.

    Inputs:
        loads: N, 0 to 1e+07. Force on each rod, the tractor's side first.
        bores: m, 0.005 to 0.5. Bore of each cylinder, in the same order.
        rods: m, 0 to 0.45. Rod of each cylinder, in the same order.
    Result: Pa at each cap end, the first being what the tractor must give; and the travel of each
        rod for one unit of the first one's travel.
    Formula: p_i A_i = F_i + p_(i+1) a_i, back from the last; x_(i+1) = x_i a_i / A_(i+1); A bore,
        a ring around the rod.
    Source: balance of forces and volumes; with matched areas p1 = (F1 + F2 + ...) / A1.
    Example: 4 in bore first, matched second, 8000 + 8000 lbf -> 1273 psi at the first.

        >>> i, lbf = 0.0254, 4.4482216152605
        >>> second = next_bore(4 * i, 1.5 * i)
        >>> s = series_set((8000 * lbf, 8000 * lbf), (4 * i, second), (1.5 * i, 1.5 * i))
        >>> round(s.pressures[0] / 6894.757293), [round(x, 9) for x in s.travels]
        (1273, [1.0, 1.0])
    """
    if not loads:
        raise RuleRefusal("loads", "no-cylinder-load")
    same_length("bores", bores, loads)
    same_length("rods", rods, loads)
    full = [piston_area(bore) for bore in bores]
    pairs = zip(bores, rods, strict=True)
    ring = [working_area(bore, rod, "retract", "rods") for bore, rod in pairs]
    pressures = [0.0]
    for load, cap, behind in reversed(list(zip(loads, full, ring, strict=True))):
        pressures.append((load + pressures[-1] * behind) / cap)
    travels = [1.0]
    for (_, behind), (cap, _) in pairwise(zip(full, ring, strict=True)):
        travels.append(travels[-1] * behind / cap)
    return SeriesSet(tuple(reversed(pressures[1:])), tuple(travels))


@rule("hydraulics.motion_order")
def motion_order(
    lift_load: Load,
    lift_bore: Bore,
    fold_load: Load,
    fold_bore: Bore,
    uncertainty: Annotated[float, In("Pa", 0.0, 1e7)],
) -> MotionOrder:
    """Which cylinder of a one-hose lift-then-fold circuit moves first.

    Inputs:
        lift_load: N, 0 to 1e+07. Force on the rod of one lift cylinder.
        lift_bore: m, 0.005 to 0.5. Bore of that lift cylinder.
        fold_load: N, 0 to 1e+07. Force on the rod of one fold cylinder.
        fold_bore: m, 0.005 to 0.5. Bore of that fold cylinder.
        uncertainty: Pa, 0 to 1e+07. Pressure that friction and valves may add to either.
    Result: lift, fold or either, and Pa each needs; the margin is fold less lift.
    Formula: p = F / A for each; the lower moves first; either when |margin| <= uncertainty.
    Source: common practice and fluid-power text: of cylinders in parallel the least loaded one
        moves first; the example is computed.
    Example: 8000 lbf on a 4 in bore against 8000 lbf on a 3 in bore -> the lift moves first.

        >>> lbf = 4.4482216152605
        >>> motion_order(8000 * lbf, 4 * 0.0254, 8000 * lbf, 3 * 0.0254, 3e5).first
        'lift'
    """
    lift = lift_load / piston_area(lift_bore)
    fold = fold_load / piston_area(fold_bore)
    margin = fold - lift
    if abs(margin) <= uncertainty:
        return MotionOrder("either", lift, fold, margin)
    return MotionOrder("lift" if margin > 0 else "fold", lift, fold, margin)


@rule("hydraulics.compression")
def compression(
    volume: Annotated[float, In("m^3", 0.0, 1.0)],
    pressure: Annotated[float, In("Pa", 0.0, 1e8)],
    bulk_modulus: BulkModulus,
) -> Annotated[float, Unit("m^3")]:
    """Oil volume taken up by compression.

    Inputs:
        volume: m^3, 0 to 1. Oil under pressure.
        pressure: Pa, 0 to 1e+08. Rise of pressure.
        bulk_modulus: Pa, 5e+08 to 5e+09. Of the oil; mineral oil is about 1.5e9 to 2e9.
    Result: m^3.
    Formula: dV = V dp / B.
    Source: fluid-power formula page (B = 250 000 psi).
    Example: 100 in^3 at 3000 psi, B 250 000 psi -> 1.2 in^3.

        >>> psi = 6894.757293
        >>> round(compression(100 * 0.0254**3, 3000 * psi, 250000 * psi) / 0.0254**3, 6)
        1.2
    """
    return volume * pressure / bulk_modulus


@rule("hydraulics.trapped_pressure")
def trapped_pressure(
    rise: Annotated[float, In("K", 0.0, 100.0, span=True)],
    expansion: Annotated[float, In("1/K", 1e-4, 2e-3)],
    bulk_modulus: BulkModulus,
) -> Annotated[float, Unit("Pa")]:
    """Pressure rise of trapped oil when it warms.

    Hoses and barrels give, so the pressure met in practice is lower, about 1.1 MPa for a degree.
    Take the pressure off before hoses are coupled or uncoupled.

    Inputs:
        rise: K, 0 to 100. How much the oil warms.
        expansion: 1/K, 0.0001 to 0.002. Of the oil.
        bulk_modulus: Pa, 5e+08 to 5e+09. Of the oil.
    Result: Pa.
    Formula: dp = B a dT.
    Source: hydraulic engineering data page (a = 0.00046 per degF, B = 300 000 psi).
    Example: warmed 50 degF -> 6900 psi.

        >>> psi = 6894.757293
        >>> round(trapped_pressure(50 / 1.8, 0.00046 * 1.8, 3e5 * psi) / psi, 6)
        6900.0
    """
    return bulk_modulus * expansion * rise


@rule("hydraulics.drift")
def drift(
    leak: Annotated[float, In("m^3/s", 0.0, 1e-3)],
    bore: Bore,
    rod: Rod,
    holding: Holding,
    lever_ratio: LeverRatio,
) -> Drift:
    """Drift of a held load from an oil leak.

    Inputs:
        leak: m^3/s, 0 to 0.001. Oil that leaves the end that holds.
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        holding: one of cap end, rod end. The end whose oil carries the load.
        lever_ratio: 1, 0.01 to 100. Travel of the load for one unit of rod travel.
    Result: m/s of the rod and of the load.
    Formula: v = q / A; load v r.
    Source: conservation of volume; the 8 in^2 piston of US Army TM 1-1500-204-23-2.
    Example: an 8 in^2 piston loses 80 in^3 in an hour -> 10 in an hour.

        >>> bore = (8 * 4 / math.pi) ** 0.5 * 0.0254
        >>> round(drift(80 * 0.0254**3 / 3600, bore, 0, "cap end", 1).rod * 3600 / 0.0254, 9)
        10.0
    """
    speed = leak / _holding_area(bore, rod, holding)
    return Drift(speed, speed * lever_ratio)


@rule("hydraulics.leak_from_drop")
def leak_from_drop(
    drop: Annotated[float, In("m", 0.0, 5.0)],
    time: Annotated[float, In("s", 1.0, 1e6)],
    bore: Bore,
    rod: Rod,
    holding: Holding,
    lever_ratio: LeverRatio,
) -> Annotated[float, Unit("m^3/s")]:
    """Leakage rate from the drift of a held load.

    Inputs:
        drop: m, 0 to 5. How far the load came down.
        time: s, 1 to 1e+06. How long it was watched, from a distance and with nobody under it.
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        holding: one of cap end, rod end. The end whose oil carries the load.
        lever_ratio: 1, 0.01 to 100. Travel of the load for one unit of rod travel.
    Result: m^3/s.
    Formula: q = A drop / (r t).
    Source: conservation of volume; the 8 in^2 piston of US Army TM 1-1500-204-23-2.
    Example: 10 in in an hour on an 8 in^2 piston -> 80 in^3 an hour.

        >>> bore = (8 * 4 / math.pi) ** 0.5 * 0.0254
        >>> q = leak_from_drop(0.254, 3600, bore, 0, "cap end", 1)
        >>> round(q * 3600 / 0.0254**3, 9)
        80.0
    """
    return _holding_area(bore, rod, holding) * drop / (lever_ratio * time)


def _holding_area(bore: float, rod: float, holding: str) -> float:
    return working_area(bore, rod, "extend" if holding == "cap end" else "retract")
