"""Look-alike serial numbers, and serial numbers in a printed range.

A serial number is stored exactly as on the plate, leading zeros, dashes and all. Beside it stands
a look-alike key: two plates with one key may be one plate read twice, so both are shown to the
person and never merged.
"""

import unicodedata
from dataclasses import dataclass
from typing import Final, Literal

from prep.rules.catalog.catalog import RuleRefusal, rule
from prep.rules.identity.serial_schemes import SchemeError, range_from

# Classes of characters confused on worn or painted plates: common practice, no published source.
LOOK_ALIKES: Final = {"0": "OQD", "1": "IL", "5": "S", "8": "B", "2": "Z", "6": "G"}

_TO_KEY: Final = str.maketrans(
    {seen: key for key, others in LOOK_ALIKES.items() for seen in others}
)
_DROPPED: Final = frozenset({"Zs", "Zl", "Zp", "Pd", "Cc", "Cf", "Mn"})  # spaces to accents
# Dots and underscores; and the minus sign, a dash to the eye, a symbol to Unicode.
_DROPPED_TOO: Final = frozenset("._\u00b7\u2212")


def plain_key(text: str) -> str:
    """A serial number or a name without what people write it differently by.

    Capital letters, no spaces, dashes, dots and underscores. Wide, small and accented forms from
    phone keyboards count as the plain character. Empty when nothing else is in the text.

    >>> plain_key("tc-00.17") == plain_key("TC 0017") == "TC0017"
    True
    """
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).upper())
    return "".join(
        character
        for character in plain
        if character not in _DROPPED_TOO and unicodedata.category(character) not in _DROPPED
    )


def look_alike_key(serial: str) -> str:
    """The plain key of a serial number, with look-alike characters made equal as well.

    >>> look_alike_key("S0-12 8b") == look_alike_key("5OIZ-B8") == "501288"
    True
    """
    return plain_key(serial).translate(_TO_KEY)


@dataclass(frozen=True)
class LookAlike:
    """Two serial numbers compared by their look-alike characters."""

    finding: Literal["same", "look-alikes", "different"]
    first_key: str
    second_key: str


@dataclass(frozen=True)
class InRange:
    """Whether a campaign or a procedure covers a serial number."""

    covered: bool


@rule("identity.look_alike")
def look_alike(first: str, second: str) -> LookAlike:
    """Whether two serial numbers differ only in look-alike characters.

    Inputs:
        first: text. A serial number as on the plate.
        second: text. The other one.
    Result: the same, look-alikes or different, and the key each is compared by.
    Formula: capital letters, no spaces, dashes and dots: the same; O Q D as 0, I L as 1, Z as 2,
        S as 5, G as 6, B as 8 as well: look-alikes have one key.
    Source: common practice, no published source.
    Example: S0-12 8b and 5OIZ-B8 -> look-alikes.

        >>> look_alike("S0-12 8b", "5OIZ-B8").finding
        'look-alikes'
    """
    one, other = look_alike_key(first), look_alike_key(second)
    for field, key in (("first", one), ("second", other)):
        if not key:
            raise RuleRefusal(field, "serial-without-characters")
    if plain_key(first) == plain_key(second):
        return LookAlike("same", one, other)
    return LookAlike("look-alikes" if one == other else "different", one, other)


@rule("identity.in_range")
def in_range(serial: str, lowest: str, highest: str) -> InRange:
    """Whether a serial number lies in a printed range.

    Inputs:
        serial: text. The serial number as on the plate.
        lowest: text. First serial of the range, as the bulletin prints it.
        highest: text. Last serial of the range; both belong to it.
    Result: covered or not.
    Formula: groups of digits are compared as numbers from the left; what stands around them must
        be the same.
    Source: common practice, no published source.
    Example: RC0099 lies in RC0010 to RC0100, though 99 sorts behind 100 as text.

        >>> in_range("RC0099", "RC0010", "RC0100").covered
        True
    """
    if not serial:
        raise RuleRefusal("serial", "serial-missing")
    try:
        return InRange(range_from({"from": lowest, "to": highest}).covers(serial))
    except SchemeError as wrong:
        raise RuleRefusal("highest", "not-a-range") from wrong
