"""Read what a person typed into a box: a value without doubt, a question, a note, or a refusal.

Nothing is guessed. An entry that can mean two things comes back as a question whose choices can
each be typed instead; a word or an approximation is kept as a note and never counts as a value.
The notations are those seen in print and in shops (common practice, no published source).
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from prep.rules.entries import spellings
from prep.rules.entries.results import (
    Choice,
    EntryError,
    NotMeasured,
    Question,
    Result,
    Typed,
    Unreadable,
)
from prep.rules.entries.terms import (
    Reading,
    Term,
    doubtful,
    is_range,
    join_compounds,
    readings,
    split,
)
from prep.rules.entries.text import clean, letters_as_digits, refuse_notation, why_no_measurement
from prep.rules.quantities.quantity import QUANTITIES, Measured, UnknownUnitError, show, with_unit

__all__ = ["Choice", "NotMeasured", "Question", "Result", "Typed", "Unreadable", "read"]

LONGEST_ENTRY: Final = 200  # characters
LARGEST: Final = 10**9  # in the unit typed; nothing on a machine is measured beyond
GAP: Final = Fraction(2, 100)  # two units in one entry may differ by this much, from rounding

Expected = tuple[Fraction, Fraction]

_USUAL_ENTRY: Final = re.compile(
    r"""(?P<sign>-?)(?P<whole>[0-9]{1,9})
        (?:\.(?P<decimals>[0-9]{1,6})|[ -](?P<part>[0-9]{1,3})/(?P<parts>2|4|8|16|32|64))?
        [ ]?(?P<unit>[^0-9,;()\[\]]*)""",
    re.VERBOSE,
)
_HINTS: Final = {
    "volume": "US or imperial measure? Ounces by weight are no volume: weigh them as a mass.",
    "torque": "Pounds alone are no torque.",
    "temperature": "Celsius or Fahrenheit?",
}


@dataclass(frozen=True, slots=True)
class _Entry:
    """What was typed, and what is known of the box and the person."""

    raw: str
    quantity: str
    decimal_comma: bool | None
    expected: Expected | None

    @property
    def quoted(self) -> str:
        return f"“{self.raw.strip()}”"


def read(
    text: str,
    quantity: str,
    *,
    decimal_comma: bool | None = None,
    expected: Expected | None = None,
) -> Result:
    """Read one entry of a box that takes `quantity`.

    `decimal_comma` is the person's setting (True 1,5; False 1.5; None not known). `expected` is
    the limit, low and high in the unit of the record; it orders the choices of a question and
    decides nothing. UnknownUnitError if there is no such quantity.
    """
    plain = _read_usual(text, quantity, decimal_comma)
    if plain is not None:
        return plain
    if quantity not in QUANTITIES:
        raise UnknownUnitError(f"There is no quantity “{quantity}” to read.")
    try:
        return _read(_Entry(text, quantity, decimal_comma, expected))
    except EntryError as refusal:
        return Unreadable(text, str(refusal))


def _read_usual(text: str, quantity: str, decimal_comma: bool | None) -> Typed | None:
    """A plain number and a unit there is no doubt about, which is nearly every entry."""
    match = _USUAL_ENTRY.fullmatch(text.strip()) if text.isascii() else None
    if match is None:
        return None
    sign, whole, decimals, part, parts, spelling = match.groups()
    if (decimal_comma and decimals) or (part and (quantity != "length" or int(part) >= int(parts))):
        return None
    unit = spellings.SURE.get(quantity, {}).get(spellings.key(spelling))
    if unit is None or spelling == "mPa" or (sign and not QUANTITIES[quantity].signed):
        return None
    scale = int(parts) if part else 10 ** len(decimals or "")
    count = int(whole) * scale + int(part or decimals or 0)
    value = Fraction(-count if sign else count, scale)
    return Typed(text, Measured(value, unit), None, Fraction(1, scale))


def _read(entry: _Entry) -> Result:
    if len(entry.raw) > LONGEST_ENTRY:
        raise EntryError("This is too long for a reading. Type one number and its unit.")
    text = clean(entry.raw, entry.quantity)
    if not text:
        raise EntryError("Nothing was typed. Type the number and its unit.")
    refuse_notation(text)
    reason = why_no_measurement(text, spellings.plain(text))
    if reason:
        return NotMeasured(entry.raw, reason)
    if not any("0" <= character <= "9" for character in text):
        raise EntryError(f"There is no number in {entry.quoted}. Type the number and its unit.")
    digits = letters_as_digits(text)
    if digits != text:
        return _ask_about_letters(entry, digits)
    terms = join_compounds(split(text, entry.quantity, entry.decimal_comma), entry.quantity)
    if len(terms) == 1:
        return _one_value(entry, terms[0])
    if len(terms) == 2 and _two_units(entry, terms):
        return _one_value_twice(entry, *terms)
    if is_range(terms):
        raise EntryError(f"{entry.quoted} is a range. Type the one value the instrument showed.")
    raise EntryError(
        "There are several numbers here. Type one reading in each box, position by position."
    )


def _one_value(entry: _Entry, term: Term | Reading) -> Result:
    candidates = _readings(entry, term)
    sure = isinstance(term, Reading) or not doubtful(term, entry.quantity)
    if sure and len(candidates) == 1:
        return Typed(entry.raw, candidates[0].measured, None, candidates[0].resolution)
    if isinstance(term, Term) and not sure and not term.unit_text:
        text = f"{entry.quoted} in which unit?"
    elif sure:
        text = f"{entry.quoted} can be read in more than one way. Which did you read?"
    else:
        text = f"What does {entry.quoted} mean? {_HINTS.get(entry.quantity, '')}".strip()
    return Question(entry.raw, text, _choices(entry, candidates))


def _two_units(entry: _Entry, terms: Iterable[Term | Reading]) -> bool:
    """Whether the two terms give one value in two units."""
    if any(isinstance(term, Term) and not term.unit_text for term in terms):
        return False
    first, second = ({each.measured.unit for each in _readings(entry, term)} for term in terms)
    return not first & second


def _one_value_twice(entry: _Entry, first: Term | Reading, second: Term | Reading) -> Result:
    """One value in two units: each is checked by the other, and each settles the other's doubt."""
    ones, others = _readings(entry, first), _readings(entry, second)
    agreeing = [(one, other) for one in ones for other in others if _agree(one, other)]
    if len({one.measured for one, _ in agreeing}) == 1:
        one, other = agreeing[0]
        return Typed(entry.raw, one.measured, other.measured, one.resolution)
    if agreeing:
        text = f"{entry.quoted} can be read in more than one way. Which did you read?"
        return Question(entry.raw, text, _choices(entry, [one for one, _ in agreeing]))
    typed, printed = ones[0].measured, others[0].measured
    text = (
        f"{show(typed.value, typed.unit)} is {show(typed.in_unit(printed.unit), printed.unit)} "
        f"and not {show(printed.value, printed.unit)}. Which did you read?"
    )
    return Question(entry.raw, text, _choices(entry, [*ones, *others]))


def _agree(one: Reading, other: Reading) -> bool:
    """Within GAP of the larger; for a temperature, whose zero is arbitrary, also within 1 K."""
    first, second = one.measured.canonical(), other.measured.canonical()
    allowed = GAP * max(abs(first), abs(second))
    if one.measured.unit.quantity == "temperature":
        allowed = max(allowed, Fraction(1))
    return abs(first - second) <= allowed


def _ask_about_letters(entry: _Entry, digits: str) -> Result:
    """A letter O or l in a number: whatever the digits would mean is asked, never taken."""
    meant = read(digits, entry.quantity, decimal_comma=entry.decimal_comma, expected=entry.expected)
    text = f"There is a letter in the number. Did you mean “{digits}”?"
    if isinstance(meant, Question):
        return Question(entry.raw, text, meant.choices)
    if isinstance(meant, Typed):
        label = show(meant.measured.value, meant.measured.unit)
        return Question(entry.raw, text, (Choice(label, digits, meant.measured),))
    return Unreadable(entry.raw, "There is a letter in the number. Type the digits 0 to 9.")


def _readings(entry: _Entry, term: Term | Reading) -> list[Reading]:
    quantity = entry.quantity
    candidates = [term] if isinstance(term, Reading) else readings(term, quantity)
    fitting = [each for each in candidates if abs(each.measured.value) < LARGEST]
    if not fitting:
        raise EntryError("The number is too large for a reading. Type what the instrument showed.")
    if any(each.measured.value < 0 for each in fitting) and not QUANTITIES[quantity].signed:
        raise EntryError(f"The {quantity} cannot be negative. Type it without the minus sign.")
    return fitting


def _choices(entry: _Entry, candidates: Iterable[Reading]) -> tuple[Choice, ...]:
    """Each meaning once, written as this person writes decimals, the expected ones first."""
    choices: dict[Measured, Choice] = {}
    for each in candidates:
        number = each.text.replace(".", ",") if entry.decimal_comma else each.text
        written = with_unit(number, each.measured.unit)
        choices.setdefault(each.measured, Choice(written, written, each.measured))
    if entry.expected is None:
        return tuple(choices.values())
    low, high = entry.expected

    def off(choice: Choice) -> Fraction:
        value = choice.measured.canonical()
        return max(low - value, value - high, Fraction(0))

    return tuple(sorted(choices.values(), key=off))
