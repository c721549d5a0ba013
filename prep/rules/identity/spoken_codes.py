"""Codes that people read out and type in: no look-alike characters, and one that checks the rest.

The check is the hybrid procedure of ISO/IEC 7064 modulo 29 and 28, the one the standard names with
10, 26 and 36 characters, here with the 28 of this alphabet: as 29 is prime, it finds every single
wrong character, and all but a few of the exchanges of two neighbors (both counted in the tests).
"""

import re
from typing import Final

from prep.rules.identity.check_characters import hybrid_check

# Of 0 O Q D, 1 I L, 5 S, 8 B, 2 Z and U V no two that look alike are left but D and Q.
ALPHABET: Final = "23456789ACDEFGHJKLMNPQRTVWXY"
LENGTH: Final = 10  # characters, the last of which is the check
GROUP: Final = 5  # characters that are read in one breath
CODES: Final = len(ALPHABET) ** (LENGTH - 1)


def spoken_code(number: int) -> str:
    """The code of a number from 0 to `CODES` - 1, in groups.

    >>> spoken_code(0)
    '22222-2222N'
    """
    values = []
    for _ in range(LENGTH - 1):
        number, value = divmod(number, len(ALPHABET))
        values.append(value)
    values.append(hybrid_check(values, len(ALPHABET)))
    text = "".join(ALPHABET[value] for value in values)
    return f"{text[:GROUP]}-{text[GROUP:]}"


def heard_code(text: str) -> str | None:
    """A code as it was typed, in capitals and groups; None for what cannot be one.

    >>> heard_code(" 2222 2-222n ")
    '22222-2222N'
    >>> heard_code("22222-2222M") is None
    True
    """
    plain = re.sub(r"[\s\-–—.]", "", text).upper()
    if len(plain) != LENGTH or not set(plain) <= set(ALPHABET):
        return None
    values = [ALPHABET.index(character) for character in plain]
    if hybrid_check(values[:-1], len(ALPHABET)) != values[-1]:
        return None
    return f"{plain[:GROUP]}-{plain[GROUP:]}"
