"""Tightening order and stages of a bolted joint."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

THIRDS: Final = (1 / 3, 2 / 3, 1.0)


@rule("tightening.stages")
def stages(
    final: Annotated[float, In("N·m", 0.1, 20_000.0)],
    fractions: Annotated[tuple[float, ...], In("1", 0.05, 1.0)] = THIRDS,
) -> Annotated[tuple[float, ...], Unit("N·m")]:
    """Torque of each stage of tightening.

    Inputs:
        final: N·m, 0.1 to 20000. Torque the joint ends at.
        fractions: 1, 0.05 to 1. Share of the final torque at each stage, rising, the last one 1.
    Result: N·m, one for each stage.
    Formula: stage torque = fraction x final torque.
    Source: three stages for wheels in five public sources; equal thirds: common practice, no
        published source.
    Example: 90 N·m in thirds -> 30, 60 and 90 N·m (arithmetic).

        >>> [round(torque) for torque in stages(90.0)]
        [30, 60, 90]
    """
    rising = all(lower < upper for lower, upper in pairwise(fractions))
    if not fractions or not rising or fractions[-1] != 1:
        raise RuleRefusal("fractions", "stages-not-rising")
    return tuple(fraction * final for fraction in fractions)


@rule("tightening.cross_pattern")
def cross_pattern(
    studs: Annotated[int, In("1", 3, 128)],
) -> Annotated[tuple[int, ...], Unit("1")]:
    """Cross (star) tightening order of a bolt circle.

    Inputs:
        studs: 1, 3 to 128. Number of studs; they are numbered clockwise from 1 at the top.
    Result: 1, stud numbers in the order they are turned.
    Formula: even: each nut, then the one opposite; the pairs in the order of a circle of half as
        many. Odd: always on by half the circle less half a stud, which draws a star.
    Source: star pattern as drawn for wheels of 4, 5 and 6 studs in public guides; circles of 4,
        8, 12, 16, 20 and 24 as in ASME PCC-1 (value from memory).
    Example: five studs, drawn as a star -> 1, 3, 5, 2, 4.

        >>> cross_pattern(5)
        (1, 3, 5, 2, 4)
    """
    if studs != int(studs):
        raise RuleRefusal("studs", "not-whole")
    return tuple(place + 1 for place in _spread(int(studs)))


def _spread(places: int) -> list[int]:
    """Places 0 to `places` - 1 of a circle in an order that keeps the joint even."""
    if places % 2 == 0:
        half = places // 2
        return [place for first in _spread(half) for place in (first, first + half)]
    step = max(1, (places - 1) // 2)  # has no factor in common with an odd count
    return [turn * step % places for turn in range(places)]


@dataclass(frozen=True)
class TorqueWindow:
    """Least and greatest torque on the wrench."""

    least: Annotated[float, Unit("N·m")]
    greatest: Annotated[float, Unit("N·m")]


@rule("tightening.with_prevailing_torque")
def with_prevailing_torque(
    least: Annotated[float, In("N·m", 0.0, 20_000.0)],
    greatest: Annotated[float, In("N·m", 0.0, 20_000.0)],
    drag: Annotated[float, In("N·m", 0.0, 2000.0)],
) -> TorqueWindow:
    """Torque for a locknut with its prevailing torque added.

    Inputs:
        least: N·m, 0 to 20000. Least torque specified for the joint.
        greatest: N·m, 0 to 20000. Greatest torque specified; the same as the least for one figure.
        drag: N·m, 0 to 2000. Torque that turns the nut before it meets the face, measured.
    Result: least and greatest torque to show on the wrench, N·m.
    Formula: T = specified + drag. A castle nut starts lining up at the least and never goes past
        the greatest: change the washer or the nut instead.
    Source: FAA AC 43.13-1B, paragraph 7-40.
    Example: 100 to 110 with a drag of 15 -> 115 to 125 (arithmetic).

        >>> with_prevailing_torque(100.0, 110.0, 15.0)
        TorqueWindow(least=115.0, greatest=125.0)
    """
    if greatest < least:
        raise RuleRefusal("greatest", "limits-swapped")
    return TorqueWindow(least + drag, greatest + drag)
