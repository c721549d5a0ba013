"""Moments and days in words, their months in letters."""

import math
from datetime import date, datetime
from typing import Final

from django.utils import dateformat, translation
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say, say_count

# Formats of Django's `date` filter, so that a language can order them its own way.
DAY: Final = _("j F Y")
SHORT_DAY: Final = _("j M Y")
SHORT_MOMENT: Final = _("j M Y, H:i")
MOMENT: Final = _("{day}, {time} ({zone})")


def moment(at: datetime, reader: Reader) -> str:
    """`25 November 2026, 14:05 (CST, UTC−06:00)`: the yard's clock and its distance from UTC."""
    return say(reader, MOMENT, day=day(at, reader), time=f"{at:%H:%M}", zone=zone(at))


def day(at: date, reader: Reader) -> str:
    """`25 November 2026`."""
    return _formatted(at, DAY, reader)


def short_moment(at: datetime, reader: Reader) -> str:
    """`25 Nov 2026, 14:05`, where the zone is stated once for all."""
    return _formatted(at, SHORT_MOMENT, reader)


def short_day(iso: str, reader: Reader) -> str:
    """`10 Jan 2027` for an ISO date, and nothing for none."""
    return _formatted(datetime.fromisoformat(iso), SHORT_DAY, reader) if iso else ""


def zone(at: datetime) -> str:
    """The zone's letters, where it has any, and its distance from UTC."""
    offset = f"{at:%z}"
    distance = f"UTC{'−' if offset[0] == '-' else '+'}{offset[1:3]}:{offset[3:5]}"
    name = at.tzname() or ""
    return f"{name}, {distance}" if name.isalpha() and name != "UTC" else distance


def wait(seconds: int, reader: Reader) -> str:
    """`30 seconds`, or from a minute on `2 minutes`, never less than it is."""
    if seconds < 60:
        return say_count(reader, "{count} second", "{count} seconds", seconds)
    minutes = math.ceil(seconds / 60)
    return say_count(reader, "{count} minute", "{count} minutes", minutes)


def _formatted(at: date, style: str, reader: Reader) -> str:
    with translation.override(reader.language):
        return dateformat.format(at, gettext(style))
