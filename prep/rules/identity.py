"""Serial numbers that a tired eye would take for one another.

A serial number is stored exactly as on the plate, leading zeros, dashes and all. Beside it stands
a look-alike key: two plates with one key may be one plate read twice, so both are shown to the
person and never merged.
"""

import unicodedata
from typing import Final

# Classes of characters confused on worn or painted plates: common practice, no published source.
LOOK_ALIKES: Final = {"0": "OQD", "1": "IL", "5": "S", "8": "B", "2": "Z", "6": "G"}

_TO_KEY: Final = str.maketrans(
    {seen: key for key, others in LOOK_ALIKES.items() for seen in others}
)
_DROPPED: Final = frozenset({"Zs", "Zl", "Zp", "Pd", "Cc", "Cf", "Mn"})  # spaces to accents
_MINUS_SIGN: Final = "\u2212"  # a dash to the eye, a symbol to Unicode


def look_alike_key(serial: str) -> str:
    """What is left of a serial number when look-alikes, case, spaces and dashes no longer differ.

    Wide, small and accented forms from phone keyboards count as the plain character. Empty when
    the serial holds nothing but spaces and dashes.

    >>> look_alike_key("S0-12 8b") == look_alike_key("5OIZ-B8") == "501288"
    True
    """
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", serial).upper())
    return "".join(
        character
        for character in plain
        if character != _MINUS_SIGN and unicodedata.category(character) not in _DROPPED
    ).translate(_TO_KEY)
