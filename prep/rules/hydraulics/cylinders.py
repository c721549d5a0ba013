"""Cylinders and hoses: force, oil volume and oil charge.

General formulas for planning and for judging a charge. The manufacturer's pressure, hose and oil
figures for the exact machine come first; search for a leak with card or wood, never a hand.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule

Bore = Annotated[float, In("m", 0.005, 0.5)]
Rod = Annotated[float, In("m", 0.0, 0.45)]
Direction = Annotated[str, OneOf(("extend", "retract"))]
Bores = Annotated[tuple[float, ...], In("m", 0.005, 0.5)]
Rods = Annotated[tuple[float, ...], In("m", 0.0, 0.45)]

INCH: Final = 0.0254

# Bore of a hose in sixteenths of an inch is its dash number (SAE J517).
DASHES: Final = (4, 5, 6, 8, 10, 12, 16, 20, 24, 32)
# A 100R5-type hose is named after the tube it replaces, so it is narrower than its dash (SAE J517).
BORE_100R5: Final = {
    4: 3 / 16,
    5: 1 / 4,
    6: 5 / 16,
    8: 13 / 32,
    10: 1 / 2,
    12: 5 / 8,
    16: 7 / 8,
    20: 1 + 1 / 8,
    24: 1 + 3 / 8,
    32: 1 + 13 / 16,
}


@dataclass(frozen=True)
class CylinderVolume:
    """Oil one cylinder takes to extend and to retract; the rod displaces the difference."""

    extend: Annotated[float, Unit("m^3")]
    retract: Annotated[float, Unit("m^3")]
    rod: Annotated[float, Unit("m^3")]


@dataclass(frozen=True)
class ChargeFinding:
    """Oil that left the tractor against the oil the circuit holds."""

    finding: Literal["as-expected", "air-in-circuit", "leak"]
    drawn: Annotated[float, Unit("m^3")]
    missing: Annotated[float, Unit("m^3")]
    advice: Advice | None


def piston_area(bore: float) -> float:
    """Area of a full bore, m^2, from its diameter in m."""
    return math.pi * bore**2 / 4


def working_area(bore: float, rod: float, direction: str, field: str = "rod") -> float:
    """Area the oil pushes on, m^2: the full bore to extend, the ring around the rod to retract.

    Raises RuleRefusal on `field` when the rod would not go into the bore.
    """
    if rod >= bore:
        raise RuleRefusal(field, "rod-not-thinner")
    return piston_area(bore) - (piston_area(rod) if direction == "retract" else 0.0)


def same_length(field: str, values: tuple[float, ...], others: tuple[float, ...]) -> None:
    """Refuse two lists that should pair up and do not."""
    if len(values) != len(others):
        raise RuleRefusal(field, "one-value-for-each", count=len(values), wanted=len(others))


@rule("hydraulics.force")
def force(
    bore: Bore,
    rod: Rod,
    pressure: Annotated[float, In("Pa", 0.0, 1e8)],
    direction: Direction,
) -> Annotated[float, Unit("N")]:
    """Force of a hydraulic cylinder.

    Inputs:
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        pressure: Pa, 0 to 1e+08. Pressure across the piston.
        direction: one of extend, retract. Which way the rod moves.
    Result: N.
    Formula: F = p pi D^2 / 4 to extend; F = p pi (D^2 - d^2) / 4 to retract.
    Source: fluid-power formula page.
    Example: 6 in bore, 3 in rod, 2500 psi -> pushes 70 686 lbf.

        >>> round(force(6 * 0.0254, 3 * 0.0254, 2500 * 6894.757293, "extend") / 4.4482216152605)
        70686
    """
    return pressure * working_area(bore, rod, direction)


@rule("hydraulics.pressure_for_force")
def pressure_for_force(
    force: Annotated[float, In("N", 0.0, 1e7)],
    bore: Bore,
    rod: Rod,
    direction: Direction,
) -> Annotated[float, Unit("Pa")]:
    """Pressure a cylinder needs for a force.

    Inputs:
        force: N, 0 to 1e+07. Force wanted at the rod.
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        direction: one of extend, retract. Which way the rod moves.
    Result: Pa.
    Formula: p = F / A, A the bore to extend and the ring around the rod to retract.
    Source: fluid-power formula page.
    Example: 50 000 lbf on a 6 in bore with a 3 in rod -> 1768.4 psi to push.

        >>> lbf = 4.4482216152605
        >>> p = pressure_for_force(50000 * lbf, 6 * 0.0254, 3 * 0.0254, "extend")
        >>> round(p / 6894.757293, 1)
        1768.4
    """
    return force / working_area(bore, rod, direction)


@rule("hydraulics.pressure_to_lift")
def pressure_to_lift(
    load: Annotated[float, In("N", 0.0, 1e7)],
    lever_ratio: Annotated[float, In("1", 0.01, 100.0)],
    bore: Bore,
    efficiency: Annotated[float, In("1", 0.1, 1.0)],
) -> Annotated[float, Unit("Pa")]:
    """Cylinder pressure to lift a load through a lever.

    Inputs:
        load: N, 0 to 1e+07. Weight of what is lifted.
        lever_ratio: 1, 0.01 to 100. Travel of the load for one unit of rod travel.
        bore: m, 0.005 to 0.5. Inside diameter of the barrel that extends to lift.
        efficiency: 1, 0.1 to 1. Share of the force left after friction; 1 for none lost.
    Result: Pa.
    Formula: p = W r / (A e).
    Source: fluid-power formula page; the example is computed from it.
    Example: 16 000 lbf on a 4 in bore, no lever, no loss -> 1273 psi.

        >>> round(pressure_to_lift(16000 * 4.4482216152605, 1, 4 * 0.0254, 1) / 6894.757293)
        1273
    """
    return load * lever_ratio / (piston_area(bore) * efficiency)


@rule("hydraulics.cylinder_volume")
def cylinder_volume(
    bore: Bore,
    rod: Rod,
    stroke: Annotated[float, In("m", 0.001, 10.0)],
) -> CylinderVolume:
    """Oil volume of a hydraulic cylinder.

    Inputs:
        bore: m, 0.005 to 0.5. Inside diameter of the barrel.
        rod: m, 0 to 0.45. Diameter of the rod.
        stroke: m, 0.001 to 10. Travel of the rod.
    Result: m^3 to extend, to retract, and the difference the rod displaces.
    Formula: V = A L, A the bore to extend and the ring around the rod to retract.
    Source: fluid-power formula page; the example is computed from it.
    Example: 3.5 in bore, 1.25 in rod, 8 in stroke -> 1.261 L out, 1.100 L in.

        >>> v = cylinder_volume(3.5 * 0.0254, 1.25 * 0.0254, 8 * 0.0254)
        >>> round(v.extend * 1000, 3), round(v.retract * 1000, 3)
        (1.261, 1.1)
    """
    extend = working_area(bore, rod, "extend") * stroke
    retract = working_area(bore, rod, "retract") * stroke
    return CylinderVolume(extend, retract, extend - retract)


@rule("hydraulics.hose_bore")
def hose_bore(
    dash: Annotated[int, OneOf(DASHES)],
    kind: Annotated[str, OneOf(("general", "100R5"))],
) -> Annotated[float, Unit("m")]:
    """Inside diameter of a hose from its dash number.

    Inputs:
        dash: one of 4, 5, 6, 8, 10, 12, 16, 20, 24, 32. The number printed on the hose.
        kind: one of general, 100R5. A 100R5-type hose is narrower than its dash number.
    Result: m.
    Formula: dash / 16 in; for the 100R5 type the table of SAE J517.
    Source: SAE J517.
    Example: -8 hose -> 1/2 in, and 13/32 in for the 100R5 type.

        >>> round(hose_bore(8, "general") * 1000, 1), hose_bore(8, "100R5") / 0.0254
        (12.7, 0.40625)
    """
    return (BORE_100R5[dash] if kind == "100R5" else dash / 16) * INCH


@rule("hydraulics.hose_volume")
def hose_volume(
    bore: Annotated[float, In("m", 0.003, 0.06)],
    length: Annotated[float, In("m", 0.0, 100.0)],
) -> Annotated[float, Unit("m^3")]:
    """Oil volume of a hose.

    Inputs:
        bore: m, 0.003 to 0.06. Inside diameter of the hose, not its outside.
        length: m, 0 to 100. Length of the hose.
    Result: m^3.
    Formula: V = pi d^2 L / 4.
    Source: SAE J517 bore and geometry; the example is computed from them.
    Example: 10 ft of -8 hose -> 0.386 L.

        >>> round(hose_volume(0.5 * 0.0254, 10 * 0.3048) * 1000, 3)
        0.386
    """
    return piston_area(bore) * length


@rule("hydraulics.set_charge")
def set_charge(
    bores: Bores,
    rods: Rods,
    strokes: Annotated[tuple[float, ...], In("m", 0.001, 10.0)],
    hose_bores: Annotated[tuple[float, ...], In("m", 0.003, 0.06)],
    hose_lengths: Annotated[tuple[float, ...], In("m", 0.0, 100.0)],
    rod_ends: Annotated[str, OneOf(("full", "empty"))],
) -> Annotated[float, Unit("m^3")]:
    """Oil a set of cylinders draws from the tractor to fill and extend.

    The same in parallel and in series: oil that one cylinder of a series hands to the next stays
    in the set.

    Inputs:
        bores: m, 0.005 to 0.5. Bore of each cylinder.
        rods: m, 0 to 0.45. Rod of each cylinder, in the same order.
        strokes: m, 0.001 to 10. Stroke of each cylinder, in the same order.
        hose_bores: m, 0.003 to 0.06. Inside diameter of each dry hose.
        hose_lengths: m, 0 to 100. Length of each dry hose, in the same order.
        rod_ends: one of full, empty. Full sends its oil back; empty is dry or open to the air.
    Result: m^3.
    Formula: sum of cap ends, less the rod ends that were full, plus the hoses.
    Source: conservation of volume; each volume as for one cylinder.
    Example: one 3.5 x 8 in cylinder, 1.25 in rod, rod end full, 10 ft of -8 hose -> 33.4 in^3.

        >>> i = 0.0254
        >>> v = set_charge((3.5 * i,), (1.25 * i,), (8 * i,), (0.5 * i,), (120 * i,), "full")
        >>> round(v / i**3, 1)
        33.4
    """
    same_length("rods", rods, bores)
    same_length("strokes", strokes, bores)
    same_length("hose_lengths", hose_lengths, hose_bores)
    for bore, rod in zip(bores, rods, strict=True):
        working_area(bore, rod, "retract", "rods")
    volumes = [cylinder_volume(*one) for one in zip(bores, rods, strokes, strict=True)]
    taken = math.fsum(one.rod if rod_ends == "full" else one.extend for one in volumes)
    hoses = zip(hose_bores, hose_lengths, strict=True)
    return taken + math.fsum(hose_volume(bore, length) for bore, length in hoses)


@rule("hydraulics.charge_check")
def charge_check(
    expected: Annotated[float, In("m^3", 0.0, 0.2)],
    added: Annotated[float, In("m^3", 0.0, 0.2)],
    tractor_drop: Annotated[float, In("m^3", -0.2, 0.2)],
    tolerance: Annotated[float, In("m^3", 0.0, 0.02)],
) -> ChargeFinding:
    """Oil charge check: oil drawn from the tractor compared with the circuit's volume.

    Inputs:
        expected: m^3, 0 to 0.2. What the set draws to fill and extend.
        added: m^3, 0 to 0.2. Oil poured into the tractor since the level was first read.
        tractor_drop: m^3, -0.2 to 0.2. Fall of the tractor's level as a volume; a rise is negative.
        tolerance: m^3, 0 to 0.02. How well the levels can be read.
    Result: the finding, m^3 drawn and m^3 missing (negative: more left than the circuit holds).
    Formula: drawn = added + drop; missing = expected - drawn; beyond the tolerance it is named.
    Source: conservation of volume; common practice, no published source.
    Example: expected 4.5 L, added 3 L, level down 0.5 L -> 1 L of air.

        >>> check = charge_check(0.0045, 0.003, 0.0005, 0.0002)
        >>> check.finding, round(check.missing * 1000, 3)
        ('air-in-circuit', 1.0)
    """
    drawn = added + tractor_drop
    # A thousandth of a milliliter is below any level and above the noise of the arithmetic.
    missing, allowed = round(expected - drawn, 9), round(tolerance, 9)
    if missing > allowed:
        advice = Advice("purge-air", missing, "m^3")
        return ChargeFinding("air-in-circuit", drawn, missing, advice)
    if -missing > allowed:
        return ChargeFinding("leak", drawn, missing, Advice("find-leak", -missing, "m^3"))
    return ChargeFinding("as-expected", drawn, missing, None)
