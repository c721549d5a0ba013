"""What a yard is known by and works by: details, opening hours, days it is closed, its logo."""

from collections.abc import Iterable
from datetime import date
from enum import StrEnum
from itertools import pairwise
from typing import Annotated, Final

import msgspec

from prep.record.fields import FILLED, Meta
from prep.record.refusal import Refusal


class Weekday(StrEnum):
    """A day of the week, in the order of ISO 8601."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


WEEKDAYS: Final = tuple(Weekday)

ShortText = Annotated[str, Meta(max_length=120)]
FilledText = Annotated[str, Meta(max_length=120, pattern=FILLED, examples=["West yard"])]
TimeZone = Annotated[str, Meta(max_length=60, pattern=FILLED, examples=["America/Chicago"])]
Country = Annotated[
    str,
    Meta(
        pattern=r"^([A-Z]{2})?(?!\n)$",
        description="ISO 3166-1 alpha-2, such as US.",
        examples=["US"],
        extra={"malformed": "country-unfit"},
    ),
]
SiteEmail = Annotated[
    str,
    Meta(
        max_length=254,
        pattern=r"^(|[^@\s]+@[^@\s]+\.[^@\s]+)(?!\n)$",
        examples=["service@dealer.example"],
        extra={"malformed": "not-an-email"},
    ),
]
Web = Annotated[
    str,
    Meta(
        max_length=200,
        pattern=r"^(https?://[^\s<>\"]+)?(?!\n)$",
        examples=["https://dealer.example"],
        extra={"malformed": "not-a-web-address"},
    ),
]
Clock = Annotated[
    str,
    Meta(
        pattern=r"^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)(?!\n)$",
        description="Hours and minutes, such as 07:30; a day ends at 24:00.",
        examples=["07:30"],
        extra={"malformed": "clock-unfit"},
    ),
]


class Opening(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """From when to when a yard is open on a day of the week; a day may have several."""

    day: Weekday
    opens: Clock
    closes: Clock


class ClosedDay(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A day on which a yard is closed, and why."""

    day: date
    name: FilledText


class Logo(msgspec.Struct, frozen=True, kw_only=True):
    """A logo: the SHA-256 of its file and of its small copy."""

    digest: str
    small: str


class Details(msgspec.Struct, frozen=True, kw_only=True):
    """What a yard is called and where it is."""

    name: FilledText
    dealer: FilledText
    time_zone: TimeZone
    street: ShortText = ""
    place: ShortText = ""
    region: ShortText = ""
    postal_code: Annotated[str, Meta(max_length=20)] = ""
    country: Country = ""
    phone: Annotated[str, Meta(max_length=60)] = ""
    email: SiteEmail = ""
    web: Web = ""

    def address(self) -> tuple[str, ...]:
        """The lines of its address, as they stand on a letter."""
        town = " ".join(filter(None, (self.place, self.region, self.postal_code)))
        return tuple(filter(None, (self.street, town, self.country)))

    def contact(self) -> tuple[str, ...]:
        """How to reach it."""
        return tuple(filter(None, (self.phone, self.email, self.web)))


DETAILS: Final = Details.__struct_fields__


def in_order(hours: Iterable[Opening]) -> tuple[Opening, ...]:
    """Opening hours by day and time; Refusal where one ends before it begins, or two overlap."""
    ordered = sorted(hours, key=lambda one: (WEEKDAYS.index(one.day), one.opens, one.closes))
    for one in ordered:
        if one.closes <= one.opens:
            raise Refusal("hours-end-first", field="hours", opens=one.opens, closes=one.closes)
    for before, after in pairwise(ordered):
        if before.day == after.day and after.opens < before.closes:
            raise Refusal("hours-overlap", field="hours", opens=after.opens, closes=before.closes)
    return tuple(ordered)


def minutes(clock: str) -> int:
    """Minutes from the beginning of a day to a time of day."""
    hours, _, past = clock.partition(":")
    return 60 * int(hours) + int(past)
