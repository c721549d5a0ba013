"""Numbers as people write them: decimal point or comma, thousands, fractions of an inch."""

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from prep.rules.entries.results import EntryError

# Longest first: a mixed number, a fraction, thousands set apart by spaces, a decimal.
NUMBER: Final = re.compile(
    r"""(?P<whole>[0-9]++)
        (?:[ \u00a0]*+[-–+&][ \u00a0]*+|[ \u00a0]++(?:(?:and|et|y)[ \u00a0]++)?)
        (?P<part>[0-9]++)/(?P<parts>[0-9]++)
      |(?P<over>[0-9]++)/(?P<under>[0-9]++)
      |(?P<spaced>[0-9]{1,3}(?:[ \u00a0][0-9]{3})++(?![0-9]))(?P<decimals>[.,][0-9]++)?
      |(?P<decimal>[0-9]++(?:[.,][0-9]++)*+|[.,][0-9]++)""",
    re.VERBOSE | re.IGNORECASE,
)

MOST_DIGITS: Final = 15
THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2}(?:[.,][0-9]{3})++")
# Two numbers that a space sets apart may be two readings if they are as alike as two wheels are.
ALIKE: Final = 20
# Parts of a length somebody reads off a rule or a drawing; of anything else only the plain ones.
_PARTS_OF_A_LENGTH: Final = frozenset({2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64, 128})
_PARTS: Final = frozenset({2, 3, 4, 8})
INCH_PARTS: Final = frozenset({2, 4, 8, 16, 32, 64, 128})


@dataclass(frozen=True, slots=True)
class Number:
    """One meaning of a number as written: its value, its last digit, an unmistakable text.

    `parts` is the denominator of a fraction, 1 for a decimal. `among` says that it would be one of
    two numbers in the entry.
    """

    value: Fraction
    resolution: Fraction
    text: str
    parts: int = 1
    among: bool = False

    @property
    def proper(self) -> bool:
        """Whether it is a fraction of one, as it may stand after a unit."""
        return self.parts > 1 and self.value < 1


def meanings(match: re.Match[str], quantity: str, decimal_comma: bool | None) -> list[Number]:
    """Meanings of a number matched by NUMBER, the likeliest first; EntryError if none."""
    if sum(character.isdigit() for character in match[0]) > MOST_DIGITS:
        raise EntryError("too-many-digits", typed=match[0])
    if match["whole"]:
        return [_mixed(match["whole"], match["part"], match["parts"])]
    if match["over"]:
        return _fraction(match["over"], match["under"], quantity)
    if match["spaced"]:
        return _spaced(match["spaced"], match["decimals"] or "")
    return _decimal(match["decimal"], decimal_comma)


def plain(digits: str) -> Number:
    """A number of digits and at most one point."""
    places = len(digits) - digits.index(".") - 1 if "." in digits else 0
    return Number(Fraction(digits), Fraction(1, 10**places), digits)


def unmistakable(text: str) -> str:
    """A number's text, with a point, as anybody can type it and mean nothing else.

    Where nobody knows how they part thousands, 1.125 is typed 01.125: no thousand begins so.
    """
    return f"0{text}" if THOUSANDS.fullmatch(text) else text


def _mixed(whole: str, part: str, parts: str) -> Number:
    over, under = int(part), int(parts)
    if under == 0 or over >= under:
        raise EntryError("not-a-fraction", typed=f"{part}/{parts}")
    if int(whole) and under not in _PARTS_OF_A_LENGTH:
        raise EntryError("whole-and-odd-fraction", whole=whole, fraction=f"{part}/{parts}")
    text = f"{int(whole)} {over}/{under}"
    return Number(int(whole) + Fraction(over, under), Fraction(1, under), text, under)


def _fraction(over: str, under: str, quantity: str) -> list[Number]:
    """A lone fraction is read as one where people write them; else 5/6 can be 5 of 6, or two."""
    parts = int(under)
    if parts == 0:
        raise EntryError("not-a-fraction", typed=f"{over}/{under}")
    if quantity == "count" and int(over) == parts:
        return [plain(over)]  # 12 of 12
    whole, rest = divmod(int(over), parts)
    known = _PARTS_OF_A_LENGTH if quantity in {"length", "slope"} else _PARTS
    if whole == 0 and quantity != "count" and (parts in known or quantity == "ratio"):
        text = f"{rest}/{parts}"
        return [Number(Fraction(rest, parts), Fraction(1, parts), text, parts)]
    readings = [replace(plain(each), among=True) for each in (over, under)]
    if parts in _PARTS_OF_A_LENGTH:
        readings.append(_mixed(str(whole), str(rest), under))
        readings += _without_its_gap(over, parts)
    return readings


def _without_its_gap(over: str, parts: int) -> list[Number]:
    """137/8 may be 13 7/8, its gap left out."""
    return [
        _mixed(over[:end], over[end:], str(parts))
        for end in range(1, len(over))
        if over[end] != "0" and over[0] != "0" and int(over[end:]) < parts
    ]


def _spaced(groups: str, decimals: str) -> list[Number]:
    """`1 250` is a French thousand; `95 110` may as well be two wheels in one box."""
    first, *others = groups.replace("\u00a0", " ").split(" ")
    decimals = decimals.replace(",", ".")
    joined = plain(first + "".join(others) + decimals)
    sure = " " not in groups or any(group[0] == "0" for group in others)
    if sure or max(map(int, others)) > ALIKE * int(first) or not int(first):
        return [joined]
    if len(others) > 1:
        raise EntryError("several-values")
    two = plain(first), plain(others[0] + decimals)
    return [*(replace(each, among=True) for each in two), joined]


def _decimal(text: str, decimal_comma: bool | None) -> list[Number]:
    points, commas = text.count("."), text.count(",")
    if points + commas == 0:
        return [plain(text)]
    if points and commas:
        return [_both_marks(text)]
    if points + commas > 1:
        if THOUSANDS.fullmatch(text):
            return [plain(text.replace(",", "").replace(".", ""))]
        raise EntryError("not-one-number", typed=text)
    return _one_mark(text, decimal_comma)


def _one_mark(text: str, decimal_comma: bool | None) -> list[Number]:
    """`1.5` and `1,5` are decimals; `1,250` and `1.250` are what their writer's style says.

    Both, while nobody knows that style.
    """
    mark = "," if "," in text else "."
    as_decimal = plain(("0" if text[0] == mark else "") + text.replace(mark, "."))
    if not THOUSANDS.fullmatch(text):
        return [as_decimal]
    as_thousands = plain(text.replace(mark, ""))
    if decimal_comma is None:
        return [as_decimal, as_thousands]
    return [as_decimal if decimal_comma == (mark == ",") else as_thousands]


def _both_marks(text: str) -> Number:
    """`1,250.5` or `1.250,5`: the later mark is the decimal one."""
    mark, other = (".", ",") if text.rfind(".") > text.rfind(",") else (",", ".")
    whole, _, decimals = text.rpartition(mark)
    if mark in whole or not THOUSANDS.fullmatch(whole):
        raise EntryError("not-one-number", typed=text)
    return plain(f"{whole.replace(other, '')}.{decimals}")
