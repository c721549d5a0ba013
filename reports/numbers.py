"""Document numbers: derived from what the document is made for, so that nobody can guess one.

A number is a letter for the kind, eleven drawn characters and a check character. People read it off
paper and type it, so it is read in any spelling, and a typing mistake is told from another number.
"""

import hashlib
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import islice
from typing import Final
from urllib.parse import unquote

from django.conf import settings

from prep.rules.identity.check_characters import certificate_number, is_certificate_number

# No I, L, O and U: they are taken for other characters, or spell words.
ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
DRAWN: Final = 11  # characters that come from the cause: 55 bits
LENGTH: Final = DRAWN + 2
MOST_TYPED: Final = 500  # characters looked at: an address with a number in it is shorter
MOST_LIKELY: Final = 8  # corrections that are named

# What the letters left out are read as, behind the letter of the kind and at its place.
_LOOK_ALIKES: Final = str.maketrans("ILOU", "110V")
_KIND_LOOK_ALIKES: Final = str.maketrans("1IU", "LLV")
# Characters of the alphabet that are taken for one another in print or in handwriting: common
# practice, no published source.
_CONFUSED: Final = (
    "0DQ",
    "17",
    "2Z",
    "38B",
    "4A9",
    "5S",
    "6G",
    "CG",
    "MN",
    "VWY",
    "KX",
    "EF",
    "PR",
)
_IN_ADDRESS: Final = re.compile(r"/VERIFY/([^/?#]+)")


def drawn_number(letter: str, cause: str) -> str:
    """Document number: `letter`, characters derived from `cause` by SHA-256, a check character.

    A number whose check character could be taken for another is passed over for the next drawn.
    """
    drawn = hashlib.sha256(cause.encode()).digest()
    while True:
        bits = int.from_bytes(drawn)
        body = "".join(ALPHABET[bits >> (5 * place) & 31] for place in range(DRAWN))
        number = certificate_number(f"{letter}{body}")
        if number[-1] in ALPHABET:
            return number
        drawn = hashlib.sha256(drawn).digest()


def check_address(number: str) -> str:
    """Address at which anybody checks the document of a number."""
    return f"{settings.ADDRESS}/verify/{number}"


class Misspelling(StrEnum):
    """Why a text is no document number."""

    EMPTY = "empty"
    TOO_SHORT = "too-short"
    TOO_LONG = "too-long"
    FOREIGN_CHARACTER = "foreign-character"
    WRONG_CHECK = "wrong-check"


@dataclass(frozen=True)
class TypedNumber:
    """A number as it was typed, in its one spelling, and what is wrong with it if anything is.

    `likely` are the numbers one slip away whose check character is right: two neighbors swapped, a
    character taken for one like it, a character typed twice. They follow from the check character
    alone, so they say nothing about which numbers exist.
    """

    number: str
    wrong: Misspelling | None = None
    likely: tuple[str, ...] = ()


def read_number(typed: str) -> TypedNumber:
    """Read a number in any spelling: spaces, hyphens, small letters, look-alikes, an address."""
    number = _one_spelling(typed[:MOST_TYPED])
    wrong = _wrong(number)
    if wrong is None:
        return TypedNumber(number)
    return TypedNumber(number, wrong, tuple(islice(_corrections(number), MOST_LIKELY)))


def _one_spelling(typed: str) -> str:
    """The letter and the characters of a number, as far as they can be read out of a text."""
    text = unicodedata.normalize("NFKC", unquote(typed)).upper()
    address = _IN_ADDRESS.search(text)
    text = address[1] if address else text
    plain = _plain(text)
    if len(plain) != LENGTH:  # a file's name, a title and its number
        words = (word for word in re.split(r"[\W_]+", text) if len(word) == LENGTH)
        plain = _plain(next(words, plain))
    return plain[:1].translate(_KIND_LOOK_ALIKES) + plain[1:].translate(_LOOK_ALIKES)


def _plain(text: str) -> str:
    """Letters and digits alone; a digit of any script as our own."""
    digits = (str(unicodedata.decimal(one, one)) for one in text)
    return "".join(one for one in digits if one.isalnum())


def _wrong(number: str) -> Misspelling | None:
    if not number:
        return Misspelling.EMPTY
    if len(number) != LENGTH:
        return Misspelling.TOO_SHORT if len(number) < LENGTH else Misspelling.TOO_LONG
    if not re.fullmatch("[A-Z]", number[0]) or set(number[1:]) - set(ALPHABET):
        return Misspelling.FOREIGN_CHARACTER
    return None if is_certificate_number(number) else Misspelling.WRONG_CHECK


def _corrections(number: str) -> Iterator[str]:
    """Right numbers one slip away from a wrong one, the likeliest slips first."""
    seen = {number}
    for corrected in (*_swapped(number), *_taken_for_another(number), *_typed_twice(number)):
        if corrected not in seen and _wrong(corrected) is None:
            yield corrected
        seen.add(corrected)


def _swapped(number: str) -> Iterator[str]:
    for place in range(1, len(number) - 1):
        yield number[:place] + number[place + 1] + number[place] + number[place + 2 :]


def _taken_for_another(number: str) -> Iterator[str]:
    for place, character in enumerate(number[1:], 1):
        for group in _CONFUSED:
            for other in group if character in group else "":
                yield number[:place] + other + number[place + 1 :]


def _typed_twice(number: str) -> Iterator[str]:
    for place in range(1, len(number)):
        yield number[:place] + number[place + 1 :]
