"""A tool at the two moments of a reading: in calibration, in service, on record, on the yard's day.

The instants of the days are those of the IANA time zone database (RFC 6557); the daylight saving
changes of 2026 in America/Chicago are 8 March and 1 November, 2 a.m. (15 U.S.C. 260a).
"""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from prep.record.facts import InstrumentFacts
from prep.record.instrument.checks import Fitness, check_instrument
from prep.record.instrument.known import KnownInstrument
from prep.record.moments import Differs
from prep.record.procedure.line import InstrumentNeed
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context
from prep.rules.entries.read import Typed, read

CHICAGO = ZoneInfo("America/Chicago")
DUE = "2026-03-10"
NOON = datetime(2026, 3, 10, 17, 0, tzinfo=UTC)  # noon at the yard, on the day the tool is due
DAY = timedelta(days=1)
REFUSES, FLAGS = (InstrumentNeed("torque wrench", overdue) for overdue in ("refuse", "flag"))

IN_DATE_THEN = Differs("calibration", "happened")
OVERDUE_THEN = Differs("calibration", "recorded")
IN_SERVICE_THEN = Differs("service", "happened")
OUT_THEN = Differs("service", "recorded")
UNKNOWN_THEN = Differs("on-record", "recorded")


def wrench(due: str = DUE, out: str = "") -> InstrumentFacts:
    """A wrench due that day, perhaps out of service."""
    return InstrumentFacts("W-1", "torque wrench", "Wrench", "torque", due=due, out_of_service=out)


def fitness(
    known: KnownInstrument,
    happened: datetime,
    recorded: datetime,
    need: InstrumentNeed = REFUSES,
) -> Any:
    """What is judged of the wrench; the code of a refusal."""
    context = Context(Actor("a", "Ada", frozenset()), happened, recorded, UUID(int=1))
    entry = read("450 ft lb", "torque")
    assert isinstance(entry, Typed)
    try:
        return check_instrument(need, known, entry, context, CHICAGO)
    except Refusal as no:
        return no.code


@pytest.mark.parametrize(
    ("happened", "recorded", "need", "expected"),
    [
        (NOON, NOON, REFUSES, Fitness()),
        (NOON - DAY, NOON, REFUSES, Fitness()),
        # Came due overnight: not refused, not passed.
        (NOON, NOON + DAY, REFUSES, Fitness(differs=(IN_DATE_THEN,))),
        (NOON, NOON + DAY, FLAGS, Fitness(differs=(IN_DATE_THEN,))),
        (NOON + DAY, NOON + DAY, REFUSES, "instrument-overdue"),
        (NOON + DAY, NOON + DAY, FLAGS, Fitness(overdue=True)),
        # The due day ends at the yard's midnight, 5 a.m. UTC since the clocks went forward.
        (
            datetime(2026, 3, 11, 4, 59, 59, tzinfo=UTC),
            datetime(2026, 3, 11, 5, 0, 1, tzinfo=UTC),
            REFUSES,
            Fitness(differs=(IN_DATE_THEN,)),
        ),
        (
            datetime(2026, 3, 11, 4, 59, 58, tzinfo=UTC),
            datetime(2026, 3, 11, 4, 59, 59, tzinfo=UTC),
            REFUSES,
            Fitness(),
        ),
    ],
)
def test_calibration_is_judged_on_the_days_of_both_moments(
    happened: datetime, recorded: datetime, need: InstrumentNeed, expected: Any
) -> None:
    """Overdue at both is refused or flagged as the procedure says; at one of them it is flagged."""
    assert fitness(KnownInstrument(wrench()), happened, recorded, need) == expected


@pytest.mark.parametrize(
    ("due", "midnight"),
    [
        # Before and after the clocks go forward and back; the day of the change has 23 or 25 hours.
        ("2026-03-07", datetime(2026, 3, 8, 6, 0, tzinfo=UTC)),
        ("2026-03-08", datetime(2026, 3, 9, 5, 0, tzinfo=UTC)),
        ("2026-10-31", datetime(2026, 11, 1, 5, 0, tzinfo=UTC)),
        ("2026-11-01", datetime(2026, 11, 2, 6, 0, tzinfo=UTC)),
    ],
)
def test_the_due_day_ends_at_the_yards_midnight_also_where_clocks_change(
    due: str, midnight: datetime
) -> None:
    """One second on either side."""
    known, second = KnownInstrument(wrench(due)), timedelta(seconds=1)
    assert fitness(known, midnight - second, midnight - second) == Fitness()
    assert fitness(known, midnight, midnight) == "instrument-overdue"
    assert fitness(known, midnight - second, midnight) == Fitness(differs=(IN_DATE_THEN,))


def states(*known: tuple[datetime, InstrumentFacts]) -> KnownInstrument:
    """An instrument with these states, the last one present."""
    return KnownInstrument(known[-1][1], known)


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        # A calibration that was entered after the reading does not heal it, whatever date it bears.
        (states((NOON - 9 * DAY, wrench("2026-03-01")), (NOON, wrench())), OVERDUE_THEN),
        # Nor does the withdrawal of a tool that was entered later count for nothing.
        (states((NOON - 9 * DAY, wrench()), (NOON, wrench(out="Dropped"))), IN_SERVICE_THEN),
        (states((NOON - 9 * DAY, wrench(out="Dropped")), (NOON, wrench())), OUT_THEN),
        (states((NOON, wrench())), UNKNOWN_THEN),
    ],
)
def test_what_was_on_record_at_a_moment_is_what_counts_for_it(
    known: KnownInstrument, expected: Differs
) -> None:
    """A reading of two days ago, entered now."""
    assert fitness(known, NOON - 2 * DAY, NOON) == Fitness(differs=(expected,))


def test_a_tool_out_of_service_at_both_moments_is_refused() -> None:
    """Whether it was withdrawn once or twice."""
    once = states((NOON - 9 * DAY, wrench(out="Dropped")), (NOON, wrench(out="Dropped again")))
    assert fitness(once, NOON - DAY, NOON) == "instrument-out-of-service"
    assert fitness(KnownInstrument(wrench(out="x")), NOON, NOON) == "instrument-out-of-service"


def test_several_differences_are_all_told() -> None:
    """Out of service and overdue when it was read, neither now."""
    known = states((NOON - 9 * DAY, wrench("2026-03-01", "Dropped")), (NOON, wrench()))
    assert fitness(known, NOON - 2 * DAY, NOON).differs == (OUT_THEN, OVERDUE_THEN)
