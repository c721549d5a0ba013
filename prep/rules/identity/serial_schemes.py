"""How a manufacturer's serial numbers are built, kept as data with the model.

A scheme names the parts of a serial from left to right. From it come the reason a plate was misread
("positions 9–11 must be digits"), the day the machine was built where the number says so, the
check character, and whether a campaign's range covers the unit. In a model's file:

    serial_scheme:
      parts:
        - {name: model, length: 8}
        - {name: day_of_year, characters: digits, length: 3}
        - {name: number, characters: digits, length: 4}
      built: {day_of_year: day_of_year}

A scheme is held against the serial exactly as on the plate; leading zeros count.
"""

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any, Final, Literal, TypeVar

import msgspec

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.check_characters import (
    DIGITS,
    LETTERS,
    has_right_check,
    product_number,
    vin_check_digit,
)
from prep.rules.phrase import Misfit, Token

S = TypeVar("S")
Check = Literal[
    "none",
    "49 CFR 565.15",
    "ISO 10261",
    "MOD 11-2",
    "MOD 37-2",
    "MOD 97-10",
    "MOD 11,10",
    "MOD 37,36",
]

CHARACTERS: Final = {
    "digits": DIGITS,
    "capital letters": LETTERS,
    "letters and digits": DIGITS + LETTERS,
}
DATE_LENGTHS: Final = {"date": 8, "year": 4, "day_of_year": 3}
LONGEST: Final = 40  # characters; no plate holds more


class SchemeError(ValueError):
    """A scheme or a range is not written as it must be; the text says where and what to do."""


class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A named run of characters: a fixed text, or a kind of character and a length or two."""

    name: str
    text: str = ""
    characters: Literal["digits", "capital letters", "letters and digits"] = "letters and digits"
    length: int | tuple[int, int] = 0

    def __post_init__(self) -> None:
        if bool(self.text) == bool(self.length):
            raise Misfit("part-text-or-length")
        if not 1 <= self.least <= self.most <= LONGEST:
            raise Misfit("part-length", most=LONGEST)

    @property
    def least(self) -> int:
        """Fewest characters it may have."""
        return len(self.text) or (self.length if isinstance(self.length, int) else self.length[0])

    @property
    def most(self) -> int:
        """Most characters it may have."""
        return len(self.text) or (self.length if isinstance(self.length, int) else self.length[1])

    def check(self, characters: str, place: str) -> None:
        """Refuse characters that do not belong in its place."""
        name = self.name.replace("_", " ")
        if self.text:
            if characters != self.text:
                raise RuleRefusal(
                    "serial",
                    "serial-part-differs",
                    place=place,
                    part=name,
                    expected=self.text,
                    found=characters,
                )
            return
        allowed = CHARACTERS[self.characters]
        if any(one not in allowed for one in characters):
            kind = Token(self.characters.replace(" ", "-"))
            raise RuleRefusal(
                "serial", "serial-part-kind", place=place, part=name, kind=kind, found=characters
            )


class BuiltBy(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Names of the parts that say when the machine was built: YYYYMMDD, or year and day of it."""

    date: str = ""
    year: str = ""
    day_of_year: str = ""


class Built(msgspec.Struct, frozen=True):
    """When the machine was built, as far as its serial says."""

    year: int | None = None
    day_of_year: int | None = None
    day: date | None = None


class Scheme(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The build of a manufacturer's serial numbers."""

    parts: tuple[Part, ...]
    built: BuiltBy = BuiltBy()
    check: Check = "none"

    def __post_init__(self) -> None:
        by_name = {part.name: part for part in self.parts}
        if len(by_name) != len(self.parts) or not self.parts:
            raise Misfit("parts-unnamed")
        if sum(part.least != part.most for part in self.parts) > 1:
            raise Misfit("parts-vary")
        if self.built.date and (self.built.year or self.built.day_of_year):
            raise Misfit("built-twice")
        for kind, length in DATE_LENGTHS.items():
            name = getattr(self.built, kind)
            part = by_name.get(name)
            if name and (part is None or (part.characters, part.length) != ("digits", length)):
                raise Misfit("built-part", kind=kind, digits=length)

    def read(self, serial: str) -> dict[str, str]:
        """Parts of a serial by name, exactly as on the plate.

        Raises RuleRefusal on `serial` that names the characters at fault, or says that the check
        character does not fit.
        """
        fields: dict[str, str] = {}
        start = 0
        spare = self._spare_length(serial)
        for part in self.parts:
            stop = start + part.least + (spare if part.least != part.most else 0)
            characters = serial[start:stop]
            part.check(characters, _place(start + 1, stop))
            fields[part.name] = characters
            start = stop
        _check(serial, self.check)
        return fields

    def built_on(self, serial: str) -> Built:
        """When the machine with this serial was built, as far as the serial says.

        Raises RuleRefusal on `serial` when the place of the date holds no date.
        """
        fields = self.read(serial)
        named = {kind: getattr(self.built, kind) for kind in DATE_LENGTHS}
        parts = {kind: fields[name] for kind, name in named.items() if name}
        try:
            return _built(parts)
        except (ValueError, OverflowError):
            raise RuleRefusal(
                "serial", "serial-without-date", date=" ".join(parts.values())
            ) from None

    def _spare_length(self, serial: str) -> int:
        least, most = sum(p.least for p in self.parts), sum(p.most for p in self.parts)
        if least <= len(serial) <= most:
            return len(serial) - least
        wanted = _place(least, most)
        raise RuleRefusal("serial", "serial-length", wanted=wanted, count=len(serial))


class SerialRange(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Serials a campaign or a procedure covers; both ends belong to it.

    Held against the whole serial, against `characters` (first and last place, counted from 1), or
    against a named part of the scheme. Groups of digits are compared as numbers, from the left.
    """

    first: str = msgspec.field(name="from")
    last: str = msgspec.field(name="to")
    part: str = ""
    characters: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        if not (self.first and self.last):
            raise Misfit("range-without-end")
        if shape(self.first) != shape(self.last) or numbers(self.first) > numbers(self.last):
            raise Misfit("range-empty", first=self.first, last=self.last)
        if self.characters is None:
            return
        start, stop = self.characters
        if self.part or not 1 <= start <= stop <= LONGEST:
            raise Misfit("range-places")
        if {len(self.first), len(self.last)} != {stop - start + 1}:
            raise Misfit("range-width", count=stop - start + 1)

    def covers(self, serial: str, scheme: Scheme | None = None) -> bool:
        """Whether the serial lies in the range.

        Raises RuleRefusal on `serial` when it cannot be held against the range: to say "not
        covered" of a misread plate would let a recalled machine go. Raises SchemeError when the
        range is about a part the scheme does not have.
        """
        part = self._characters_of(serial, scheme)
        lengths = {len(self.first), len(self.last)}
        padded = len(lengths) == 1  # ends of one length: a shorter number has lost its zeros
        if shape(part) != shape(self.first) or (padded and len(part) not in lengths):
            raise RuleRefusal(
                "serial", "serial-unlike-range", part=part, first=self.first, last=self.last
            )
        return numbers(self.first) <= numbers(part) <= numbers(self.last)

    def _characters_of(self, serial: str, scheme: Scheme | None) -> str:
        if self.part:
            if scheme is None or self.part not in {part.name for part in scheme.parts}:
                raise SchemeError(f"the range is about {self.part}; the model's scheme has none")
            return scheme.read(serial)[self.part]
        if self.characters is None:
            return serial
        start, stop = self.characters
        if len(serial) < stop:
            raise RuleRefusal("serial", "serial-too-short", place=stop, count=len(serial))
        return serial[start - 1 : stop]


def scheme_from(data: Mapping[str, Any]) -> Scheme:
    """A scheme from the plain data of a model's file. Raises SchemeError naming the place."""
    return _from(data, Scheme)


def range_from(data: Mapping[str, Any]) -> SerialRange:
    """A range from plain data: `from`, `to`, and `characters: [9, 11]` or `part`.

    The ends are text, so that leading zeros survive. Raises SchemeError naming the place.
    """
    return _from(data, SerialRange)


def _from(data: Mapping[str, Any], kind: type[S]) -> S:
    try:
        return msgspec.convert(data, kind)
    except msgspec.ValidationError as error:
        raise SchemeError(str(error)) from None


def _built(parts: dict[str, str]) -> Built:
    if "date" in parts:
        day = datetime.strptime(parts["date"], "%Y%m%d").date()
        return Built(day.year, day.timetuple().tm_yday, day)
    year = int(parts["year"]) if "year" in parts else None
    if "day_of_year" not in parts:
        return Built(year)
    number = int(parts["day_of_year"])
    if not 1 <= number <= 366:
        raise ValueError(number)
    if year is None:
        return Built(None, number)
    day = date(year, 1, 1) + timedelta(days=number - 1)
    if day.year != year:
        raise ValueError(number)
    return Built(year, number, day)


def _check(serial: str, method: Check) -> None:
    if method == "49 CFR 565.15":
        holds = vin_check_digit(serial) == serial[8]
    elif method == "ISO 10261":
        holds = bool(product_number(serial))
    else:
        holds = method == "none" or has_right_check(serial, method)
    if not holds:
        raise RuleRefusal("serial", "check-character-wrong", method=method)


def shape(serial: str) -> list[str]:
    """What stands around the groups of digits."""
    return re.split("[0-9]+", serial)


def numbers(serial: str) -> list[int]:
    return [int(group) for group in re.findall("[0-9]+", serial)]


def _place(first: int, last: int) -> str:
    """`9`, or `9–11`."""
    return f"{first}" if first == last else f"{first}–{last}"
