"""Hours and days off as people type them, a line each; whatever cannot be read is named."""

import re
from collections.abc import Mapping
from typing import Any, Final

from prep.record.refusal import Refusal
from prep.record.site.details import WEEKDAYS, Weekday
from prep.record.site.state import YardState

SPAN: Final = re.compile(r"(\d{1,2}):(\d{2})\s*[-–]\s*(\d{1,2}):(\d{2})")
DAY: Final = re.compile(r"(\d{4}-\d{2}-\d{2})\s+(\S.*)")


def hours_from(sent: Mapping[str, Any]) -> list[dict[str, str]]:
    """Opening hours of a form with a field for each day, such as `07:30-12:00, 13:00-17:00`."""
    spans = []
    for day in WEEKDAYS:
        for part in str(sent.get(day, "")).replace(";", ",").split(","):
            text = part.strip()
            if not text:
                continue
            found = SPAN.fullmatch(text)
            if found is None:
                raise Refusal("hours-unreadable", field="hours", typed=text)
            opens, closes = f"{found[1]:0>2}:{found[2]}", f"{found[3]:0>2}:{found[4]}"
            spans.append({"day": day.value, "opens": opens, "closes": closes})
    return spans


def hours_text(state: YardState, day: Weekday) -> str:
    """The hours of a day, as they are typed."""
    return ", ".join(f"{one.opens}-{one.closes}" for one in state.hours if one.day is day)


def closed_from(text: str) -> list[dict[str, str]]:
    """Days off, a line each, such as `2026-08-21 County fair`."""
    days = []
    for line in lines_from(text):
        found = DAY.fullmatch(line)
        if found is None:
            raise Refusal("closed-unreadable", field="closed", typed=line)
        days.append({"day": found[1], "name": found[2]})
    return days


def closed_text(state: YardState) -> str:
    """Days off, as they are typed."""
    return "\n".join(f"{one.day} {one.name}" for one in state.closed)


def lines_from(text: str) -> list[str]:
    """Lines with something in them."""
    return [line.strip() for line in text.splitlines() if line.strip()]
