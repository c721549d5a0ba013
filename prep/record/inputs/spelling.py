"""Moments, days, numbers and ids as they are spelled in text: one way, in ASCII, within bounds.

A library takes more than people are told: Unix seconds for a moment, a week for a day, digits of
any script, a number of any length. What is not spelled as it should be is None here, so that it is
refused and never taken for something else. So are both ends of the calendar, which cannot be told
in every time zone.
"""

import re
from datetime import date, datetime
from typing import Final
from uuid import UUID

MOST_DIGITS: Final = 15  # a JSON number holds them all (RFC 8259, 6)
FIRST_YEAR, LAST_YEAR = 2, 9998
_DAY: Final = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_CLOCK: Final = r"[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,9})?)?"
_OFFSET: Final = r"[Zz]|[+-][0-9]{2}:[0-9]{2}"
_MOMENT: Final = re.compile(f"{_DAY}[Tt ]{_CLOCK}({_OFFSET})?")
_ONLY_DAY: Final = re.compile(_DAY)
_WHOLE: Final = re.compile(f"-?[0-9]{{1,{MOST_DIGITS}}}")
_ID: Final = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")


def moment_of(text: str) -> datetime | None:
    """A moment with its offset (RFC 3339, 5.6)."""
    moment = clock_of(text)
    return moment if moment and moment.tzinfo else None


def clock_of(text: str) -> datetime | None:
    """What a clock shows, with an offset or without; a form sends it without."""
    if not _MOMENT.fullmatch(text):
        return None
    try:
        moment = datetime.fromisoformat(text.upper())
    except ValueError:
        return None
    return moment if in_calendar(moment) else None


def in_calendar(day: date) -> bool:
    """Whether a day or a moment can be told in every time zone."""
    return FIRST_YEAR <= day.year <= LAST_YEAR


def day_of(text: str) -> date | None:
    """A day (RFC 3339, full-date)."""
    try:
        day = date.fromisoformat(text) if _ONLY_DAY.fullmatch(text) else None
    except ValueError:
        return None
    return day if day and in_calendar(day) else None


def whole_of(text: str) -> int | None:
    """A whole number."""
    return int(text) if _WHOLE.fullmatch(text) else None


def id_of(text: str) -> UUID | None:
    """A UUID (RFC 9562, 4)."""
    return UUID(text) if _ID.fullmatch(text) else None
