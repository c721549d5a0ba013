"""When a yard is open: at a moment, next, and business days, by its hours and days off.

A yard that has set no hours is open around the clock on its business days; business days are those
on which it opens, or Monday to Friday where it has set no hours (common practice, no published
source). Hours are those of its clocks, so a span that a change of the clocks skips or repeats is
shorter or longer on that day.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from typing import Final
from zoneinfo import ZoneInfo

from prep.record.site.details import WEEKDAYS, minutes
from prep.record.site.holiday_calendar import public_holidays
from prep.record.site.state import YardState

DAY: Final = timedelta(days=1)
LONGEST: Final = 366  # days a yard may be closed in one piece before it never opens
WORKDAYS: Final = 5  # Monday to Friday
ALL_DAY: Final = ((0, 24 * 60),)


@dataclass(frozen=True)
class Calendar:
    """The days and hours of a yard."""

    yard: YardState

    @cached_property
    def zone(self) -> ZoneInfo:
        """Its time zone."""
        return ZoneInfo(self.yard.details.time_zone)

    def holiday(self, day: date) -> str:
        """Why the yard is closed on a day that would be a business day; empty for no reason."""
        own = next((one.name for one in self.yard.closed if one.day == day), "")
        if own or not self.yard.country:
            return own
        return public_holidays(self.yard.country, self.yard.region, day.year).get(day, "")

    def is_business_day(self, day: date) -> bool:
        """Whether the yard opens on a day at all."""
        return bool(self._spans(day))

    def is_open_at(self, moment: datetime) -> bool:
        """Whether the yard is open at a moment; the moment it closes it is not any more."""
        moment = moment.astimezone(UTC)
        day = moment.astimezone(self.zone).date()
        return any(opens <= moment < closes for opens, closes in self._openings(day))

    def next_opening(self, moment: datetime) -> datetime | None:
        """The first moment from this one on at which the yard is open; None within a year."""
        moment = moment.astimezone(UTC)
        day = moment.astimezone(self.zone).date()
        for later in range(LONGEST + 1):
            for opens, closes in self._openings(day + later * DAY):
                if moment < closes:
                    return max(moment, opens)
        return None

    def business_days_between(self, start: date, end: date) -> int:
        """Business days after `start`, up to and with `end`; negative where `end` is earlier."""
        if end < start:
            return -self.business_days_between(end, start)
        days = (start + count * DAY for count in range(1, (end - start).days + 1))
        return sum(map(self.is_business_day, days))

    def business_day_after(self, start: date, count: int) -> date | None:
        """The `count`-th business day after a day; None where the yard does not open for a year."""
        day, left, closed = start, count, 0
        while left and closed <= LONGEST:
            day += DAY
            opens = self.is_business_day(day)
            left, closed = left - opens, 0 if opens else closed + 1
        return None if left else day

    def _spans(self, day: date) -> tuple[tuple[int, int], ...]:
        """From when to when the yard is open on a day, in minutes of its clock."""
        if self.holiday(day):
            return ()
        if not self.yard.hours:
            return ALL_DAY if day.weekday() < WORKDAYS else ()
        weekday = WEEKDAYS[day.weekday()]
        of_day = (one for one in self.yard.hours if one.day is weekday)
        return tuple((minutes(one.opens), minutes(one.closes)) for one in of_day)

    def _openings(self, day: date) -> Iterator[tuple[datetime, datetime]]:
        for opens, closes in self._spans(day):
            yield self._at(day, opens), self._at(day, closes)

    def _at(self, day: date, minute: int) -> datetime:
        """A minute of the clock of a day; the end of a day is the beginning of the next."""
        whole, past = divmod(minute, 24 * 60)
        on = day + whole * DAY
        local = datetime(on.year, on.month, on.day, past // 60, past % 60, tzinfo=self.zone)
        # Of one zone, moments are compared by their clocks, which an hour may repeat.
        return local.astimezone(UTC)
