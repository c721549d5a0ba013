"""Towing on the road: safety chain, mass, speed and width.

What holds on a given road is the law there and the manufacturers' manuals; these rules say what the
published figures come to and where each was read.
"""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.catalog.decided_by import DecidedBy
from prep.rules.quantities.unit_table import GRAVITY, POUND_FORCE
from prep.rules.running_gear.towing_data import (
    CHAIN_FACTORS,
    CHAIN_LIMITS,
    MASS_STEPS,
    UNMARKED,
    UNMARKED_GRADE,
    WIDTHS,
    Standing,
)

WORKING: Final = "working load"
BREAKING: Final = "breaking"
BRAKES: Final = tuple(MASS_STEPS)

ChainGrade = Annotated[str, OneOf((UNMARKED, "30", "43", "70"))]
ChainSize = Annotated[str, OneOf(tuple(CHAIN_LIMITS))]
Basis = Annotated[str, OneOf((WORKING, BREAKING))]
Brakes = Annotated[str, OneOf(BRAKES)]


@dataclass(frozen=True)
class SafetyChain:
    """A safety chain beside the machine it is to hold; its rating is on the basis asked for."""

    basis: str
    rating: Annotated[float, Unit("N")]
    weight: Annotated[float, Unit("N")]
    strong_enough: bool


@rule("towing.safety_chain")
def safety_chain(
    size: ChainSize,
    grade: ChainGrade,
    gross_mass: Annotated[float, In("kg", 1.0, 60_000.0)],
    basis: Basis = WORKING,
) -> SafetyChain:
    """Whether a safety chain is strong enough for the machine towed.

    Inputs:
        size: one of 1/4, 5/16, 3/8, 7/16, 1/2, 5/8. Size of the chain in inches.
        grade: one of unmarked, 30, 43, 70. From the links; an unmarked chain counts as 30.
        gross_mass: kg, 1 to 60000. Machine with everything on it.
        basis: one of working load, breaking. What "strength rating" is taken to mean; the
            careful choice is working load. Breaking force is 3 to 4 times as much.
    Result: basis, rating and weight in N, and whether the rating reaches the weight.
    Formula: rating >= gross mass x 9.80665.
    Source: ANSI/ASAE S338.5 as restated in tractor manuals (which basis it means: value from
        memory, breaking); chain chart of working load limits, agreeing with 49 CFR 393.108.
    Example: 3/8 in grade 70 -> working load limit 6600 lbf.

        >>> round(safety_chain("3/8", "70", 2000.0).rating / 4.4482216)
        6600
    """
    rating = _chain_rating(size, grade, basis)
    weight = gross_mass * float(GRAVITY)
    return SafetyChain(basis, rating, weight, rating >= weight)


@rule("towing.chain_size")
def chain_size(
    gross_mass: Annotated[float, In("kg", 1.0, 60_000.0)],
    grade: ChainGrade,
    basis: Basis = WORKING,
) -> Annotated[str, OneOf(tuple(CHAIN_LIMITS))]:
    """Smallest safety chain size for the machine towed.

    Inputs:
        gross_mass: kg, 1 to 60000. Machine with everything on it.
        grade: one of unmarked, 30, 43, 70. Of the chain at hand; unmarked counts as 30.
        basis: one of working load, breaking. What "strength rating" is taken to mean.
    Result: size in inches, as text.
    Formula: the first size whose rating >= gross mass x 9.80665.
    Source: as for the safety chain.
    Example: 3000 kg, 6614 lb, grade 70 -> past the 6600 lbf of 3/8 in, so 7/16 in.

        >>> chain_size(3000.0, "70")
        '7/16'
    """
    weight = gross_mass * float(GRAVITY)
    for size in CHAIN_LIMITS:
        if _chain_rating(size, grade, basis) >= weight:
            return size
    raise RuleRefusal("gross_mass", "no-chain-holds")


def _chain_rating(size: str, grade: str, basis: str) -> float:
    marked = UNMARKED_GRADE if grade == UNMARKED else grade
    factor = CHAIN_FACTORS[marked] if basis == BREAKING else 1
    return float(CHAIN_LIMITS[size][marked] * factor * POUND_FORCE)


@rule("towing.greatest_mass")
def greatest_mass(
    tractor_mass: Annotated[float, In("kg", 100.0, 60_000.0)],
    speed: Annotated[float, In("m/s", 0.0, 30.0)],
    brakes: Brakes,
) -> Annotated[float, Unit("kg")]:
    """Maximum mass of a towed machine.

    Inputs:
        tractor_mass: kg, 100 to 60000. Tractor with its ballast.
        speed: m/s, 0 to 30. Greatest speed on the road.
        brakes: one of none, on the implement. Brakes of the towed machine that work.
    Result: kg; the machine with its load must be lighter than this.
    Formula: no brakes, up to 32 km/h (20 mph): 1.5 x tractor; brakes, up to 40 km/h (25 mph):
        4.5 x; up to 50 km/h (31 mph): 3.0 x.
    Source: tractor manuals of one manufacturer, several pages; others allow up to 2 x without
        brakes.
    Example: tractor of 15 000 lb without brakes -> 22 500 lb.

        >>> round(greatest_mass(15000 * 0.45359237, 20 * 0.44704, "none") / 0.45359237)
        22500
    """
    steps = MASS_STEPS[brakes]
    for step in steps:
        if speed <= step.allowed:
            return step.ratio * tractor_mass
    km_h, mph = steps[-1].km_h, steps[-1].mph
    if brakes == "none":
        raise RuleRefusal("speed", "too-fast-without-brakes", km_h=km_h, mph=mph)
    raise RuleRefusal("speed", "too-fast-with-brakes", km_h=km_h, mph=mph)


@dataclass(frozen=True)
class GreatestSpeed:
    """Maximum towing speed, and whose value it is."""

    speed: Annotated[float, Unit("m/s")]
    decided_by: DecidedBy


@rule("towing.greatest_speed")
def greatest_speed(
    tractor_mass: Annotated[float, In("kg", 100.0, 60_000.0)],
    towed_mass: Annotated[float, In("kg", 1.0, 60_000.0)],
    brakes: Brakes,
    marked_speed: Annotated[float | None, In("m/s", 0.1, 30.0)] = None,
) -> GreatestSpeed:
    """Maximum towing speed for a tractor and the machine it tows.

    Inputs:
        tractor_mass: kg, 100 to 60000. Tractor with its ballast.
        towed_mass: kg, 1 to 60000. Machine with its load.
        brakes: one of none, on the implement. Brakes of the towed machine that work.
        marked_speed: m/s, 0.1 to 30. Transport speed marked on the machine, never exceeded. Left
            out: 40 km/h with brakes, 32 km/h without.
    Result: speed in m/s, and whose value it is.
    Formula: the fastest step whose mass ratio is not reached, and never more than the mark.
    Source: tractor manuals of one manufacturer, several pages.
    Example: brakes, no speed marked -> 40 km/h.

        >>> round(greatest_speed(6000.0, 9000.0, "on the implement").speed * 3.6)
        40
    """
    unmarked = MASS_STEPS[brakes][0].stated
    for step in reversed(MASS_STEPS[brakes]):
        if towed_mass < step.ratio * tractor_mass:
            if marked_speed is not None and marked_speed <= step.stated:
                return GreatestSpeed(marked_speed, "manufacturer")
            usual = step.stated if marked_speed is not None else min(step.stated, unmarked)
            return GreatestSpeed(usual, "general")
    raise RuleRefusal("towed_mass", "too-heavy-for-tractor")


@dataclass(frozen=True)
class TransportWidth:
    """A width beside the limit of a jurisdiction, with how sure that limit is."""

    limit: Annotated[float, Unit("m")]
    over: Annotated[float, Unit("m")]
    within: bool
    standing: Standing


@rule("towing.transport_width")
def transport_width(
    width: Annotated[float, In("m", 0.3, 15.0)],
    jurisdiction: Annotated[str, OneOf(tuple(WIDTHS))],
) -> TransportWidth:
    """Transport width compared with the limit of a jurisdiction.

    Inputs:
        width: m, 0.3 to 15. Widest point in transport position, measured.
        jurisdiction: one of US, Interstate network, US, California, other roads, US, Wisconsin,
            proposal, EU and UK, general, EU and UK, agricultural. Whose road it is; local law
            and permits decide.
    Result: limit and excess in m (0 within), whether it is within, and the standing of the limit.
    Formula: excess = max(0, width - limit).
    Source: rows of the table, each with its own; none was read in the law itself.
    Example: US federal width -> 102 in, 2.591 m.

        >>> round(transport_width(2.5, "US, Interstate network").limit, 3)
        2.591
    """
    row = WIDTHS[jurisdiction]
    over = max(0.0, width - row.width)
    return TransportWidth(row.width, over, over == 0, row.standing)
