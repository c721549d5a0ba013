"""When a yard is open, against published dates.

Federal holidays: 5 U.S.C. 6103(a); the days observed instead: Executive Order 11582 and the
schedules of the U.S. Office of Personnel Management for 2021, 2022 and 2026 (values from memory).
Changes of the clocks: 15 U.S.C. 260a, second Sunday of March and first of November.
"""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from prep.record.site.details import ClosedDay, Details, Opening, Weekday
from prep.record.site.opening import Calendar
from prep.record.site.state import YardState

CHICAGO = ZoneInfo("America/Chicago")
WEEK = tuple(
    Opening(day=day, opens=opens, closes=closes)
    for day in tuple(Weekday)[:5]
    for opens, closes in (("07:30", "12:00"), ("13:00", "17:00"))
)
SATURDAY = Opening(day=Weekday.SATURDAY, opens="08:00", closes="12:00")


def calendar(**more: object) -> Calendar:
    """A yard in Chicago's zone, open on working days with an hour at noon, and on Saturdays."""
    details = Details(name="West", dealer="Invented", time_zone="America/Chicago")
    values = {"hours": (*WEEK, SATURDAY), "country": "US", **more}
    return Calendar(YardState("west", details, **values))  # type: ignore[arg-type]  # as named


def at(*parts: int, fold: int = 0) -> datetime:
    """A moment by the yard's clock."""
    return datetime(*parts, tzinfo=CHICAGO, fold=fold)  # type: ignore[arg-type, misc]


@pytest.mark.parametrize(
    "day",
    [
        *("2026-01-01", "2026-01-19", "2026-02-16", "2026-05-25", "2026-06-19", "2026-07-03"),
        *("2026-09-07", "2026-10-12", "2026-11-11", "2026-11-26", "2026-12-25"),
        *("2021-12-24", "2021-12-31", "2022-12-26", "2022-06-20"),
    ],
)
def test_a_federal_holiday_is_no_business_day(day: str) -> None:
    """Also the Friday or Monday on which one that falls on a weekend is observed."""
    assert not calendar().is_business_day(date.fromisoformat(day))
    assert calendar(country="").is_business_day(date.fromisoformat(day))


def test_a_region_has_holidays_of_its_own() -> None:
    """Texas keeps the second of March, Iowa does not (common practice, no published source)."""
    march = date(2026, 3, 2)
    assert calendar(region="TX").is_business_day(march) != calendar(region="IA").is_business_day(
        march
    )


def test_a_day_of_the_yards_own_closes_it_with_its_name() -> None:
    """County fair: closed, whatever the calendar of the country says."""
    fair = ClosedDay(day=date(2026, 8, 21), name="County fair")
    assert calendar(closed=(fair,)).holiday(fair.day) == "County fair"
    assert not calendar(closed=(fair,)).is_business_day(fair.day)


@pytest.mark.parametrize(
    ("moment", "is_open"),
    [
        (at(2026, 3, 2, 7, 29, 59), False),
        (at(2026, 3, 2, 7, 30), True),
        (at(2026, 3, 2, 11, 59, 59), True),
        (at(2026, 3, 2, 12, 0), False),
        (at(2026, 3, 2, 13, 0), True),
        (at(2026, 3, 2, 17, 0), False),
        (at(2026, 3, 7, 9, 0), True),
        (at(2026, 3, 8, 9, 0), False),
        (at(2026, 5, 25, 9, 0), False),
        (datetime(2026, 3, 2, 13, 30, tzinfo=UTC), True),
        (datetime(2026, 3, 2, 13, 29, tzinfo=UTC), False),
    ],
)
def test_it_is_open_from_when_it_opens_until_it_closes(moment: datetime, is_open: bool) -> None:
    """The moment it closes is not open any more; a moment may be told in any zone."""
    assert calendar().is_open_at(moment) is is_open


def test_the_next_opening_passes_over_noon_nights_weekends_and_holidays() -> None:
    """While it is open, that is now."""
    opening = calendar().next_opening
    assert opening(at(2026, 3, 2, 8, 0)) == at(2026, 3, 2, 8, 0)
    assert opening(at(2026, 3, 2, 12, 10)) == at(2026, 3, 2, 13, 0)
    assert opening(at(2026, 3, 6, 17, 0)) == at(2026, 3, 7, 8, 0)
    assert opening(at(2026, 3, 7, 12, 0)) == at(2026, 3, 9, 7, 30)
    # Friday evening before Memorial Day, without Saturdays: the Tuesday after.
    assert calendar(hours=WEEK).next_opening(at(2026, 5, 22, 18, 0)) == at(2026, 5, 26, 7, 30)


def test_a_yard_that_never_opens_has_no_next_opening() -> None:
    """A year of days off, or hours on no day, end the search."""
    closed = tuple(
        ClosedDay(day=date.fromordinal(date(2026, 1, 1).toordinal() + n), name="Closed")
        for n in range(800)
    )
    assert calendar(closed=closed).next_opening(at(2026, 1, 1, 9, 0)) is None
    assert calendar(closed=closed).business_day_after(date(2026, 1, 1), 1) is None


def test_business_days_between_leave_out_the_first_and_count_the_last() -> None:
    """Around Thanksgiving 2026, on the twenty-sixth of November."""
    days = calendar(hours=WEEK).business_days_between
    assert days(date(2026, 11, 23), date(2026, 11, 30)) == 4
    assert days(date(2026, 11, 25), date(2026, 11, 27)) == 1
    assert days(date(2026, 11, 27), date(2026, 11, 25)) == -1
    assert days(date(2026, 11, 25), date(2026, 11, 25)) == 0
    assert calendar(hours=WEEK).business_day_after(date(2026, 11, 25), 2) == date(2026, 11, 30)
    assert calendar(hours=WEEK).business_day_after(date(2026, 11, 25), 0) == date(2026, 11, 25)


def test_the_hours_are_those_of_the_yards_clock_when_it_changes() -> None:
    """On 2026-03-08 the hour from 2 to 3 is skipped, on 2026-11-01 that from 1 to 2 comes twice."""
    sunday = Opening(day=Weekday.SUNDAY, opens="01:00", closes="04:00")
    yard = calendar(hours=(sunday,), country="")
    assert yard.is_open_at(at(2026, 3, 8, 3, 59))
    assert not yard.is_open_at(at(2026, 3, 8, 4, 0))
    assert yard.is_open_at(at(2026, 11, 1, 1, 30, fold=0))
    assert yard.is_open_at(at(2026, 11, 1, 1, 30, fold=1))
    assert not yard.is_open_at(at(2026, 11, 1, 0, 59))


def test_a_day_may_end_at_midnight() -> None:
    """24:00 is the beginning of the next day, when it is closed."""
    monday = Opening(day=Weekday.MONDAY, opens="18:00", closes="24:00")
    yard = calendar(hours=(monday,), country="")
    assert yard.is_open_at(at(2026, 3, 2, 23, 59, 59))
    assert not yard.is_open_at(at(2026, 3, 3, 0, 0))


def test_without_hours_a_yard_keeps_the_working_week() -> None:
    """So that days can be counted before anybody has set hours."""
    yard = calendar(hours=())
    assert yard.is_business_day(date(2026, 3, 6))
    assert not yard.is_business_day(date(2026, 3, 7))
