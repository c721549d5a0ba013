"""Cutting height set by stop segments on the rod of the lift cylinder.

Each segment keeps the rod from going home, so a thicker stack leaves the deck higher. The deck is
blocked and the pressure is off before a hand goes near a stop.
"""

import math
from dataclasses import dataclass
from itertools import product
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

BaseHeight = Annotated[float, In("m", -0.2, 1.5)]
Ratio = Annotated[float, In("1", 0.05, 20.0)]
Thicknesses = Annotated[tuple[float, ...], In("m", 0.002, 0.5)]
Counts = Annotated[tuple[float, ...], In("1", 0.0, 20.0)]
RodSpace = Annotated[float, In("m", 0.0, 3.0)]

Reached = Literal["reached", "nearest", "too-low-for-stops", "too-high-for-stops"]

MOST_COMBINATIONS: Final = 20_000
NANOMETER: Final = 9  # decimals of a meter: stacks that differ by less are the same stack

# Lowest height usually recommended for a rotary cutter, 3 in: two articles and a guide.
LOWEST_RECOMMENDED: Final = 0.0762


@dataclass(frozen=True)
class Reach:
    """All heights the segments can give, lowest first."""

    heights: Annotated[tuple[float, ...], Unit("m")]


@dataclass(frozen=True)
class Stops:
    """Segments of each thickness on the rod, the stack they make and the height they give."""

    counts: Annotated[tuple[int, ...], Unit("1")]
    stack: Annotated[float, Unit("m")]
    height: Annotated[float, Unit("m")]


@dataclass(frozen=True)
class StopChoice:
    """The stops that come nearest to a wanted height, and what to move to get there."""

    finding: Reached
    best: Stops
    error: Annotated[float, Unit("m")]
    moves: tuple[Advice, ...]


@dataclass(frozen=True)
class HeightAdvisory:
    """A cutting height compared with the usual minimum; advice, not a limit."""

    finding: Literal["not-below-usual", "below-usual"]
    recommended: Annotated[float, Unit("m")]
    advice: Advice | None


def combinations(
    base_height: float,
    ratio: float,
    thicknesses: tuple[float, ...],
    counts: tuple[float, ...],
    rod_space: float,
) -> list[Stops]:
    """Each stack that fits the rod, thinnest first; of equal stacks the one with fewest segments.

    Lengths in m. Raises RuleRefusal for lists that do not pair or are too long to try.
    """
    whole = _whole_counts("counts", thicknesses, counts)
    if math.prod(count + 1 for count in whole) > MOST_COMBINATIONS:
        raise RuleRefusal("counts", "too-many-segments")
    stacks: dict[float, tuple[int, ...]] = {}
    for used in product(*(range(count + 1) for count in whole)):
        stack = stack_of(thicknesses, used)
        if stack <= round(rod_space, NANOMETER) and (
            stack not in stacks or sum(used) < sum(stacks[stack])
        ):
            stacks[stack] = used
    return [
        Stops(used, stack, base_height + ratio * stack) for stack, used in sorted(stacks.items())
    ]


def stack_of(thicknesses: tuple[float, ...], used: tuple[int, ...]) -> float:
    """Thickness of a stack in m."""
    return round(math.fsum(map(math.prod, zip(thicknesses, used, strict=True))), NANOMETER)


@rule("cutting_height.from_stops")
def from_stops(
    base_height: BaseHeight,
    ratio: Ratio,
    thicknesses: Thicknesses,
    counts: Counts,
) -> Annotated[float, Unit("m")]:
    """Cutting height with given segments on the rod.

    Inputs:
        base_height: m, -0.2 to 1.5. Cutting height with no segment, from the model or measured.
        ratio: 1, 0.05 to 20. Change of height for one unit of rod travel, from the model.
        thicknesses: m, 0.002 to 0.5. Thickness of each kind of segment.
        counts: 1, 0 to 20. How many of each kind are on the rod, in the same order.
    Result: m.
    Formula: h = base + ratio x sum of (thickness x count).
    Source: lever geometry; common practice, no published source.
    Example: 2 in with none, ratio 2, one segment of 1 in -> 4 in.

        >>> round(from_stops(2 * 0.0254, 2, (0.0254,), (1,)) / 0.0254, 6)
        4.0
    """
    return base_height + ratio * stack_of(thicknesses, _whole_counts("counts", thicknesses, counts))


@rule("cutting_height.reachable")
def reachable(
    base_height: BaseHeight,
    ratio: Ratio,
    thicknesses: Thicknesses,
    counts: Counts,
    rod_space: RodSpace,
) -> Reach:
    """All cutting heights a set of stop segments can give.

    Inputs:
        base_height: m, -0.2 to 1.5. Cutting height with no segment, from the model or measured.
        ratio: 1, 0.05 to 20. Change of height for one unit of rod travel, from the model.
        thicknesses: m, 0.002 to 0.5. Thickness of each kind of segment.
        counts: 1, 0 to 20. How many of each kind there are, in the same order.
        rod_space: m, 0 to 3. Bare rod that segments can sit on.
    Result: m, lowest first.
    Formula: base + ratio x every sum of segments that fits the rod.
    Source: lever geometry; common practice, no published source.
    Example: 2 in with none, ratio 2, two 1 in and one 1/2 in -> 2, 3, 4, 5, 6 and 7 in.

        >>> i = 0.0254
        >>> reach = reachable(2 * i, 2, (1 * i, 0.5 * i), (2, 1), 8 * i)
        >>> [round(h / i, 6) for h in reach.heights]
        [2.0, 3.0, 4.0, 5.0, 6.0, 7.0]
    """
    stacks = combinations(base_height, ratio, thicknesses, counts, rod_space)
    return Reach(tuple(stops.height for stops in stacks))


@rule("cutting_height.choose_stops")
def choose_stops(
    wanted: Annotated[float, In("m", 0.0, 2.0)],
    tolerance: Annotated[float, In("m", 0.0, 0.2)],
    base_height: BaseHeight,
    ratio: Ratio,
    thicknesses: Thicknesses,
    counts: Counts,
    fitted: Counts,
    rod_space: RodSpace,
) -> StopChoice:
    """Stop segments for a wanted cutting height.

    Of two stacks equally near, the higher one: scalping does the harm. Then the fewest segments.

    Inputs:
        wanted: m, 0 to 2. Cutting height the buyer wants.
        tolerance: m, 0 to 0.2. How near counts as reached.
        base_height: m, -0.2 to 1.5. Cutting height with no segment, from the model or measured.
        ratio: 1, 0.05 to 20. Change of height for one unit of rod travel, from the model.
        thicknesses: m, 0.002 to 0.5. Thickness of each kind of segment.
        counts: 1, 0 to 20. How many of each kind there are in all, in the same order.
        fitted: 1, 0 to 20. How many of each kind are on the rod now, in the same order.
        rod_space: m, 0 to 3. Bare rod that segments can sit on.
    Result: 1 the counts, m the stack, height and error (height less wanted), and what to move.
    Formula: the stack that makes |base + ratio x stack - wanted| least.
    Source: lever geometry; common practice, no published source.
    Example: 5 in wanted, 2 in with none, ratio 2, two 1 in and one 1/2 in -> one of each.

        >>> i = 0.0254
        >>> choose_stops(5 * i, 0.001, 2 * i, 2, (i, 0.5 * i), (2, 1), (0, 0), 8 * i).best.counts
        (1, 1)
    """
    on_rod = _whole_counts("fitted", thicknesses, fitted)
    stacks = combinations(base_height, ratio, thicknesses, counts, rod_space)
    if any(on > there for on, there in zip(on_rod, counts, strict=True)):
        raise RuleRefusal("fitted", "more-fitted-than-there-are")
    best = min(
        stacks, key=lambda stops: (round(abs(stops.height - wanted), NANOMETER), -stops.height)
    )
    error = round(best.height - wanted, NANOMETER)
    moves = _moves(thicknesses, on_rod, best.counts)
    return StopChoice(_found(stacks, best, error, tolerance), best, error, moves)


def _found(stacks: list[Stops], best: Stops, error: float, tolerance: float) -> Reached:
    if abs(error) <= round(tolerance, NANOMETER):
        return "reached"
    if error > 0 and best == stacks[0]:
        return "too-low-for-stops"
    if error < 0 and best == stacks[-1]:
        return "too-high-for-stops"
    return "nearest"


@rule("cutting_height.advisory")
def advisory(height: Annotated[float, In("m", 0.0, 2.0)]) -> HeightAdvisory:
    """Cutting height compared with the usual minimum for a rotary cutter.

    Inputs:
        height: m, 0 to 2. Floor to cutting edge, measured at the blade tip on a hard floor.
    Result: the finding and m the usual least.
    Formula: height compared with 76.2 mm.
    Source: two articles and a guide for rotary cutters (3 in); the manufacturer's figure comes
        first.
    Example: 3 in -> not under it.

        >>> advisory(0.0762).finding
        'not-below-usual'
    """
    if round(height, NANOMETER) >= LOWEST_RECOMMENDED:
        return HeightAdvisory("not-below-usual", LOWEST_RECOMMENDED, None)
    advice = Advice("raise-deck", LOWEST_RECOMMENDED - height, "m")
    return HeightAdvisory("below-usual", LOWEST_RECOMMENDED, advice)


def _whole_counts(
    field: str, thicknesses: tuple[float, ...], counts: tuple[float, ...]
) -> tuple[int, ...]:
    if len(counts) != len(thicknesses):
        raise RuleRefusal(field, "one-count-for-each")
    if any(count != int(count) for count in counts):
        raise RuleRefusal(field, "not-whole")
    return tuple(int(count) for count in counts)


def _moves(
    thicknesses: tuple[float, ...], fitted: tuple[int, ...], wanted: tuple[int, ...]
) -> tuple[Advice, ...]:
    """Segments to take off, then segments to put on."""
    changes = [
        (want - on, size) for size, on, want in zip(thicknesses, fitted, wanted, strict=True)
    ]
    off = [Advice("take-segments-off", size, "m", count=-n) for n, size in changes if n < 0]
    on = [Advice("put-segments-on", size, "m", count=n) for n, size in changes if n > 0]
    return (*off, *on)
