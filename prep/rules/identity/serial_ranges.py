"""Ranges of serials beside each other, and beside the scheme they are held against."""

from prep.rules.identity.check_characters import DIGITS
from prep.rules.identity.serial_schemes import (
    CHARACTERS,
    Part,
    Scheme,
    SerialRange,
    numbers,
    shape,
)


def can_cover(wanted: SerialRange, scheme: Scheme) -> bool:
    """Whether a serial of the scheme can lie in the range.

    Where a part may hold letters or vary in length, its serials are not counted one by one, and
    only the length is held. Raises KeyError where the range is about a part the scheme lacks.
    """
    parts = scheme.parts
    if wanted.part:
        parts = ({one.name: one for one in parts}[wanted.part],)
    least, most = sum(one.least for one in parts), sum(one.most for one in parts)
    if wanted.characters is not None:
        start, stop = wanted.characters
        if least != most or stop > most:
            return stop <= most
        return _meets(wanted, _places(parts)[start - 1 : stop])
    if least != most:
        return least <= len(wanted.last) and len(wanted.first) <= most
    return _meets(wanted, _places(parts))


def may_share(one: SerialRange | None, other: SerialRange | None) -> bool:
    """Whether a serial can lie in both ranges; None is all serials.

    Ranges that are held against different characters cannot be told apart, so they may.
    """
    if one is None or other is None:
        return True
    if (one.part, one.characters) != (other.part, other.characters):
        return True
    if shape(one.first) != shape(other.first):
        return False
    return numbers(one.first) <= numbers(other.last) and numbers(other.first) <= numbers(one.last)


def _places(parts: tuple[Part, ...]) -> list[str]:
    """The characters that each place of a serial of fixed length may have."""
    return [
        allowed
        for part in parts
        for allowed in (list(part.text) or [CHARACTERS[part.characters]] * part.least)
    ]


def _meets(wanted: SerialRange, places: list[str]) -> bool:
    """Whether the range meets the serials from all-lowest to all-highest digits."""
    if any(len(allowed) > 1 and allowed != DIGITS for allowed in places):
        return len(wanted.first) == len(places) == len(wanted.last)
    lowest = "".join(allowed[0] for allowed in places)
    highest = "".join(allowed[-1] for allowed in places)
    if len(wanted.first) != len(places) or shape(wanted.first) != shape(lowest):
        return False
    return numbers(wanted.first) <= numbers(highest) and numbers(lowest) <= numbers(wanted.last)
