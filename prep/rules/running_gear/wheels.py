"""Wheels and tires: pressure, load, nut torque and when to check again."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.phrase import InputName
from prep.rules.quantities.unit_table import FOOT, INCH, POUND_FORCE

ATMOSPHERE: Final = 101_325.0  # Pa, the standard atmosphere
FOOT_POUND: Final = float(FOOT * POUND_FORCE)
MILE: Final = float(5280 * FOOT)
HOUR: Final = 3600.0

# Farm tires on single-piece rims: the tire manufacturers' trade association warns never to pass 35
# psi while seating beads, restated in a tire manufacturer's bulletin and a dealer's page.
SEATING_LIMIT: Final = float(35 * POUND_FORCE / INCH**2)

# General chart of five agreeing sources: (least, greatest) lbf-ft of the three stages.
NUT_STAGES: Final[dict[str, tuple[tuple[int, int], tuple[int, int], tuple[int, int]]]] = {
    "12 to 13 in wheel": ((20, 25), (35, 40), (50, 60)),
    "14 to 16 in wheel, 1/2 in stud": ((20, 25), (50, 60), (90, 120)),
    "16 in wheel, 9/16 in stud": ((20, 25), (60, 70), (120, 130)),
    "5/8 in cone nut": ((50, 60), (100, 120), (190, 210)),
    "5/8 in flange nut": ((50, 60), (150, 200), (275, 325)),
}

# Re-checks after a wheel is put on. Miles: five public sources. Hours: value from memory; the
# usual wording for implements is "after the first hours, then each day".
RECHECK_DISTANCES: Final = (10 * MILE, 25 * MILE, 50 * MILE)
RECHECK_HOURS: Final = (1 * HOUR, 10 * HOUR)


@rule("wheels.cold_pressure")
def cold_pressure(
    pressure: Annotated[float, In("Pa", 0.0, 1e6)],
    temperature: Annotated[float, In("K", 200.0, 400.0)],
    at_temperature: Annotated[float, In("K", 200.0, 400.0)],
    atmosphere: Annotated[float, In("Pa", 50_000.0, 110_000.0)] = ATMOSPHERE,
) -> Annotated[float, Unit("Pa")]:
    """Gauge pressure of a tire at another temperature.

    Inputs:
        pressure: Pa, 0 to 1000000. Gauge pressure now.
        temperature: K, 200 to 400. Temperature of the air in the tire now.
        at_temperature: K, 200 to 400. Temperature it is wanted for, such as that of the field.
        atmosphere: Pa, 50000 to 110000. Air pressure of the day; less in the hills.
    Result: Pa, gauge.
    Formula: p2 = (p1 + p_atm) T2 / T1 - p_atm: a gauge leaves the atmosphere out, the gas does not.
    Source: OpenStax College Physics, chapter 13, problem 22.
    Example: 2.50e5 Pa at 35 degC -> 1.64e5 Pa at -40 degC.

        >>> f"{cold_pressure(2.50e5, 308.15, 233.15):.2e}"
        '1.64e+05'
    """
    gauge_pressure = (pressure + atmosphere) * at_temperature / temperature - atmosphere
    if gauge_pressure < 0:
        raise RuleRefusal("pressure", "below-atmosphere")
    return gauge_pressure


@rule("wheels.pressure_for_load")
def pressure_for_load(
    load: Annotated[float, In("N", 0.0, 200_000.0)],
    loads: Annotated[tuple[float, ...], In("N", 0.0, 200_000.0)],
    pressures: Annotated[tuple[float, ...], In("Pa", 0.0, 1e6)],
) -> Annotated[float, Unit("Pa")]:
    """Cold tire pressure for a load, by the tire's own table.

    Inputs:
        load: N, 0 to 200000. Load on one tire.
        loads: N, 0 to 200000. Loads of the manufacturer's table, rising.
        pressures: Pa, 0 to 1000000. Cold gauge pressure beside each load, rising.
    Result: Pa, gauge.
    Formula: straight line between neighboring rows; nothing beyond the ends of the table.
    Source: interpolation; the table comes from the model's data.
    Example: halfway between 10 kN at 100 kPa and 14 kN at 140 kPa -> 120 kPa (arithmetic).

        >>> pressure_for_load(12_000.0, (10_000.0, 14_000.0), (100_000.0, 140_000.0))
        120000.0
    """
    return _between("load", load, ("loads", loads), ("pressures", pressures))


@rule("wheels.load_at_pressure")
def load_at_pressure(
    pressure: Annotated[float, In("Pa", 0.0, 1e6)],
    loads: Annotated[tuple[float, ...], In("N", 0.0, 200_000.0)],
    pressures: Annotated[tuple[float, ...], In("Pa", 0.0, 1e6)],
) -> Annotated[float, Unit("N")]:
    """Tire load at a cold pressure, by the tire's own table.

    Inputs:
        pressure: Pa, 0 to 1000000. Cold gauge pressure.
        loads: N, 0 to 200000. Loads of the manufacturer's table, rising.
        pressures: Pa, 0 to 1000000. Cold gauge pressure beside each load, rising.
    Result: N.
    Formula: straight line between neighboring rows; nothing beyond the ends of the table.
    Source: interpolation; the table comes from the model's data.
    Example: halfway between 100 kPa for 10 kN and 140 kPa for 14 kN -> 12 kN (arithmetic).

        >>> load_at_pressure(120_000.0, (10_000.0, 14_000.0), (100_000.0, 140_000.0))
        12000.0
    """
    return _between("pressure", pressure, ("pressures", pressures), ("loads", loads))


def _between(
    field: str,
    wanted: float,
    known: tuple[str, tuple[float, ...]],
    answers: tuple[str, tuple[float, ...]],
) -> float:
    """Interpolate `answers` at `wanted` between rows of a table; RuleRefusal beyond its ends."""
    for name, column in (known, answers):
        if len(column) < 2 or any(low >= high for low, high in pairwise(column)):
            raise RuleRefusal(name, "table-not-rising")
    if len(known[1]) != len(answers[1]):
        raise RuleRefusal(known[0], "table-columns-differ", other=InputName(answers[0]))
    if not known[1][0] <= wanted <= known[1][-1]:
        raise RuleRefusal(field, "outside-tire-table")
    row = next(row for row, top in enumerate(known[1]) if wanted <= top)
    if known[1][row] == wanted:
        return answers[1][row]
    share = (wanted - known[1][row - 1]) / (known[1][row] - known[1][row - 1])
    return answers[1][row - 1] + share * (answers[1][row] - answers[1][row - 1])


@dataclass(frozen=True)
class NutStages:
    """Windows of torque for the three stages of a wheel nut."""

    least: Annotated[tuple[float, ...], Unit("N·m")]
    greatest: Annotated[tuple[float, ...], Unit("N·m")]


@rule("wheels.nut_stages")
def nut_stages(wheel: Annotated[str, OneOf(tuple(NUT_STAGES))]) -> NutStages:
    """Wheel nut torque in three stages, by a general chart.

    Inputs:
        wheel: one of 12 to 13 in wheel, 14 to 16 in wheel, 1/2 in stud, 16 in wheel, 9/16 in
            stud, 5/8 in cone nut, 5/8 in flange nut. A general chart, never a manufacturer's limit.
    Result: least and greatest torque of each stage, N·m.
    Formula: read from a table. Nuts started by hand, dry clean threads, star pattern.
    Source: trailer-wheel charts, five public sources.
    Example: 5/8 in flange nut, last stage -> 275 to 325 lbf-ft, 373 to 441 N·m.

        >>> chart = nut_stages("5/8 in flange nut")
        >>> round(chart.least[-1]), round(chart.greatest[-1])
        (373, 441)
    """
    rows = NUT_STAGES[wheel]
    return NutStages(
        tuple(least * FOOT_POUND for least, _ in rows),
        tuple(greatest * FOOT_POUND for _, greatest in rows),
    )


@dataclass(frozen=True)
class DistanceRecheck:
    """When the wheel nuts are due for a recheck, by distance."""

    next_at: Annotated[float, Unit("m")]
    due: bool


@rule("wheels.recheck_by_distance")
def recheck_by_distance(
    traveled: Annotated[float, In("m", 0.0, 1e7)],
    rechecks: Annotated[int, In("1", 0, 1000)],
    marks: Annotated[tuple[float, ...], In("m", 1.0, 1e6)] = RECHECK_DISTANCES,
) -> DistanceRecheck:
    """Wheel nut recheck by distance traveled.

    Inputs:
        traveled: m, 0 to 10000000. Since the wheel was put on.
        rechecks: 1, 0 to 1000. Checks made since.
        marks: m, 1 to 1000000. Distances of the checks, rising; the manufacturer's own if there are
            any.
    Result: distance since fitting of the next check (m) and whether it is due.
    Formula: the mark after the checks made; past the last mark, its last step again and again.
    Source: 10, 25 and 50 miles in five public sources; repeating the last step: common practice,
        no published source.
    Example: no check yet -> due at 10 miles, 16 km.

        >>> round(recheck_by_distance(5000.0, 0).next_at / 1000)
        16
    """
    next_at = _next_mark(rechecks, marks)
    return DistanceRecheck(next_at, traveled >= next_at)


@dataclass(frozen=True)
class HoursRecheck:
    """When the wheel nuts are due for a recheck, by operating hours."""

    next_at: Annotated[float, Unit("s")]
    due: bool


@rule("wheels.recheck_by_hours")
def recheck_by_hours(
    hours_run: Annotated[float, In("s", 0.0, 1e8)],
    rechecks: Annotated[int, In("1", 0, 1000)],
    marks: Annotated[tuple[float, ...], In("s", 60.0, 1e7)] = RECHECK_HOURS,
) -> HoursRecheck:
    """Wheel nut recheck by operating hours.

    Inputs:
        hours_run: s, 0 to 100000000. Work since the wheel was put on.
        rechecks: 1, 0 to 1000. Checks made since.
        marks: s, 60 to 10000000. Times of the checks, rising; the manufacturer's own if there are
            any.
    Result: working time since fitting of the next check (s) and whether it is due.
    Formula: the mark after the checks made; past the last mark, its last step again and again.
    Source: 1 h and 10 h: value from memory; repeating the last step: common practice, no
        published source.
    Example: no check yet, one hour worked -> due.

        >>> recheck_by_hours(3600.0, 0).due
        True
    """
    next_at = _next_mark(rechecks, marks)
    return HoursRecheck(next_at, hours_run >= next_at)


def _next_mark(done: int, marks: tuple[float, ...]) -> float:
    if not marks or any(low >= high for low, high in pairwise(marks)):
        raise RuleRefusal("marks", "marks-not-rising")
    if done != int(done):
        raise RuleRefusal("rechecks", "not-whole")
    if done < len(marks):
        return marks[int(done)]
    step = marks[-1] - (marks[-2] if len(marks) > 1 else 0.0)
    return marks[-1] + step * (done - len(marks) + 1)


@rule("wheels.seating_stop")
def seating_stop(
    pressure: Annotated[float, In("Pa", 0.0, 2e6)],
    limit: Annotated[float, In("Pa", 10_000.0, 2e6)] = SEATING_LIMIT,
) -> Advice | None:
    """Whether to stop inflating a tire whose beads have not seated.

    Inputs:
        pressure: Pa, 0 to 2000000. Gauge pressure now, beads not yet seated.
        limit: Pa, 10000 to 2000000. The tire or rim manufacturer's limit; left out: 35 psi, a
            general warning for farm tires, never a manufacturer's limit.
    Result: advice with the pressure in Pa to let out; nothing below the limit.
    Formula: pressure >= limit.
    Source: tire manufacturers' trade association, safety warning for farm tires on single-piece
        rims.
    Example: at 35 psi -> stop.

        >>> seating_stop(SEATING_LIMIT) is None
        False
    """
    if pressure < limit:
        return None
    return Advice("stop-inflating", pressure, "Pa")
