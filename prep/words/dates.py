"""Moments, days and numbers of things in words."""

from datetime import datetime
from typing import Final

MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def moment(at: datetime) -> str:
    """`25 November 2026, 14:05 (CST, UTC−06:00)`: the yard's clock and its distance from UTC."""
    return f"{day(at)}, {at:%H:%M} ({zone(at)})"


def day(at: datetime) -> str:
    """`25 November 2026`."""
    return f"{at.day} {MONTHS[at.month - 1]} {at.year}"


def short_moment(at: datetime) -> str:
    """`25 Nov 2026, 14:05`, where the zone is stated once for all."""
    return f"{at.day} {MONTHS[at.month - 1][:3]} {at.year}, {at:%H:%M}"


def zone(at: datetime) -> str:
    """The zone's letters, where it has any, and its distance from UTC."""
    offset = f"{at:%z}"
    distance = f"UTC{'−' if offset[0] == '-' else '+'}{offset[1:3]}:{offset[3:5]}"
    name = at.tzname() or ""
    return f"{name}, {distance}" if name.isalpha() and name != "UTC" else distance


def date_text(iso: str) -> str:
    """`10 Jan 2027` for an ISO date, and nothing for none."""
    if not iso:
        return ""
    return f"{(at := datetime.fromisoformat(iso)).day} {MONTHS[at.month - 1][:3]} {at.year}"


def count(number: int, one: str, many: str = "") -> str:
    """`1 reading`, `no readings`, `12 readings`."""
    return f"{number or 'no'} {one if number == 1 else many or one + 's'}"
