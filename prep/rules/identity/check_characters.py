"""Check characters: ISO/IEC 7064, the vehicle number of 49 CFR 565.15, and the product number.

A check character tells a misread number from a right one; it says nothing about whether the
machine exists. Which method a manufacturer's serial numbers follow, if any, is stated by the
model's serial scheme: many farm serials carry none.
"""

import re
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import OneOf, RuleRefusal, rule

DIGITS: Final = "0123456789"
LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
NUMBER_LENGTH: Final = 17  # of a vehicle number and of a product number


@dataclass(frozen=True)
class System:
    """One system of ISO/IEC 7064.

    `alphabet` is what the body may hold; `checks` what the check may hold, in order of value. A
    pure system weighs with powers of `radix`; a hybrid one has none and works modulo M and M + 1.
    """

    alphabet: str
    checks: str
    radix: int | None = None
    modulus: int = 0
    length: int = 1


# ISO/IEC 7064: pure systems 11-2, 37-2 and 97-10, hybrid systems 11,10 and 37,36.
SYSTEMS: Final = {
    "MOD 11-2": System(DIGITS, DIGITS + "X", 2, 11),
    "MOD 37-2": System(DIGITS + LETTERS, DIGITS + LETTERS + "*", 2, 37),
    "MOD 97-10": System(DIGITS, DIGITS, 10, 97, 2),
    "MOD 11,10": System(DIGITS, DIGITS),
    "MOD 37,36": System(DIGITS + LETTERS, DIGITS + LETTERS),
}

# 49 CFR 565.15: I, O and Q do not occur; position 9 is the check digit itself.
VIN_VALUES: Final = {
    **{digit: int(digit) for digit in DIGITS},
    **dict(zip("ABCDEFGHJKLMNPRSTUVWXYZ", map(int, "12345678123457923456789"), strict=True)),
}
VIN_WEIGHTS: Final = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)


@dataclass(frozen=True)
class ProductNumber:
    """The parts of a 17-character product identification number (ISO 10261)."""

    manufacturer: str
    model: str
    check_letter: str
    number: str


@dataclass(frozen=True)
class CheckedNumber:
    """A number's check characters as read and as expected."""

    read: str
    expected: str
    fits: bool


def check_characters(body: str, system: str) -> str:
    """Check character or characters that belong behind `body`.

    Raises RuleRefusal on `number` when it is empty or holds a character the system does not know.

    >>> check_characters("A12425GABC1234002", "MOD 37,36")  # python-stdnum's published example
    'M'
    """
    rules = SYSTEMS[system]
    values = [_value(character, rules.alphabet, system) for character in body]
    if not values:
        raise RuleRefusal("number", "number-empty")
    if rules.radix is None:
        return rules.checks[hybrid_check(values, len(rules.alphabet))]
    remainder = 0
    for value in [*values, *[0] * rules.length]:
        remainder = (remainder * rules.radix + value) % rules.modulus
    check = (1 - remainder) % rules.modulus
    return f"{check:02d}" if rules.length == 2 else rules.checks[check]


def has_right_check(number: str, system: str) -> bool:
    """Whether the last character (for MOD 97-10, the last two) fits the ones before.

    Raises RuleRefusal like `check_characters`.
    """
    length = SYSTEMS[system].length
    return check_characters(number[:-length], system) == number[-length:]


def certificate_number(body: str) -> str:
    """`body`, of digits and capital letters, with its check character of MOD 37,36 behind it."""
    return body + check_characters(body, "MOD 37,36")


def is_certificate_number(number: str) -> bool:
    """Whether a number as typed or scanned can be one of our certificate numbers."""
    return bool(re.fullmatch("[0-9A-Z]{2,}", number)) and has_right_check(number, "MOD 37,36")


def vin_check_digit(vin: str) -> str:
    """Check digit that position 9 of a 17-character vehicle number should show, 0 to 9 or X.

    Whatever stands in position 9 does not count. Raises RuleRefusal on `vin` for another length
    or a character that does not occur. Source: 49 CFR 565.15.
    """
    _check_length("vin", vin)
    for position, character in enumerate(vin, start=1):
        if position != 9 and character not in VIN_VALUES:
            raise _foreign("vin", position, character)
    total = sum(
        VIN_VALUES.get(character, 0) * weight
        for character, weight in zip(vin, VIN_WEIGHTS, strict=True)
    )
    return (DIGITS + "X")[total % 11]


def product_number(pin: str) -> ProductNumber:
    """Parts of a 17-character product identification number (structure of ISO 10261).

    Three characters name the manufacturer, five the model, one letter in place 9 is the check,
    eight the single machine. How that letter is computed is not public and a manufacturer may
    assign it freely, so only its place and kind are looked at. That I, O and Q do not occur is
    common practice, no published source. Raises RuleRefusal on `pin` where the structure is
    another.
    """
    _check_length("pin", pin)
    for position, character in enumerate(pin, start=1):
        if character not in VIN_VALUES:
            raise _foreign("pin", position, character)
    if pin[8] in DIGITS:
        raise RuleRefusal("pin", "check-place-not-a-letter", character=pin[8])
    return ProductNumber(pin[:3], pin[3:8], pin[8], pin[9:])


@rule("identity.vehicle_number")
def check_vehicle_number(vin: str) -> CheckedNumber:
    """Check digit of a 17-character vehicle number.

    Inputs:
        vin: text. The number as on the plate, capital letters; I, O and Q do not occur.
    Result: the digit read in place 9, the digit expected there, and whether they agree.
    Formula: letters count 1 to 9 by the regulation's table, weights 8 7 6 5 4 3 2 10 0 9 8 7 6 5
        4 3 2, sum modulo 11, 10 written X.
    Source: 49 CFR 565.15. Binding for road vehicles in one country; many farm serials carry no
        such digit, so a number that does not fit is a question, not a fault.
    Example: the regulation's own table, 1G4AH59H45G118341 -> 4.

        >>> check_vehicle_number("1G4AH59H45G118341")
        CheckedNumber(read='4', expected='4', fits=True)
    """
    expected = vin_check_digit(vin)
    return CheckedNumber(vin[8], expected, vin[8] == expected)


@rule("identity.checked_number")
def check_number(
    number: str,
    system: Annotated[str, OneOf(tuple(SYSTEMS))],
) -> CheckedNumber:
    """Check characters of a number by ISO/IEC 7064.

    Inputs:
        number: text. The whole number, its check character last (the last two for MOD 97-10).
        system: one of MOD 11-2, MOD 37-2, MOD 97-10, MOD 11,10, MOD 37,36. As the manufacturer
            states it.
    Result: the check read, the check expected, and whether they agree.
    Formula: pure systems weigh with powers of 2 or 10 modulo 11, 37 or 97; hybrid ones work
        modulo M and M + 1 by turns.
    Source: ISO/IEC 7064; the example is python-stdnum's, an independent library.
    Example: A12425GABC1234002 -> M.

        >>> check_number("A12425GABC1234002M", "MOD 37,36")
        CheckedNumber(read='M', expected='M', fits=True)
    """
    length = SYSTEMS[system].length
    expected = check_characters(number[:-length], system)
    return CheckedNumber(number[-length:], expected, number[-length:] == expected)


def hybrid_check(values: list[int], modulus: int) -> int:
    """Check value of a hybrid system modulo M and M + 1, for any M of which M + 1 is prime."""
    held = modulus
    for value in values:
        held = (((held + value) % modulus or modulus) * 2) % (modulus + 1)
    return (1 - held) % modulus


def _value(character: str, alphabet: str, system: str) -> int:
    value = alphabet.find(character)
    if value < 0:
        if alphabet == DIGITS:
            raise RuleRefusal("number", "digits-only", system=system, character=character)
        raise RuleRefusal("number", "digits-and-capitals-only", system=system, character=character)
    return value


def _check_length(field: str, number: str) -> None:
    if len(number) != NUMBER_LENGTH:
        raise RuleRefusal(field, "number-length", wanted=NUMBER_LENGTH, count=len(number))


def _foreign(field: str, position: int, character: str) -> RuleRefusal:
    """The refusal of a character that does not occur; I, O and Q look like digits."""
    digit = {"I": 1, "O": 0, "Q": 0}.get(character)
    if digit is None:
        return RuleRefusal(field, "character-not-used", position=position, character=character)
    return RuleRefusal(
        field, "character-like-digit", position=position, character=character, digit=digit
    )
