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
from prep.rules.phrase import Phrase, QuantityName, phrase
from prep.rules.quantities.quantity import (
    QUANTITIES,
    Measured,
    Unit,
    UnknownUnitError,
    show,
    with_unit,
)

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


@dataclass(frozen=True, slots=True)
class _Entry:
    """What was typed, and what is known of the box and the person."""

    raw: str
    quantity: str
    decimal_comma: bool | None
    expected: Expected | None

    @property
    def typed(self) -> str:
        return self.raw.strip()


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
        return Unreadable(text, refusal.why)


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
        raise EntryError("too-long")
    text = clean(entry.raw, entry.quantity)
    if not text:
        raise EntryError("nothing-typed")
    refuse_notation(text)
    why = why_no_measurement(text, spellings.plain(text))
    if why:
        return NotMeasured(entry.raw, why)
    if not any("0" <= character <= "9" for character in text):
        raise EntryError("no-number", typed=entry.typed)
    digits = letters_as_digits(text)
    if digits != text:
        return _ask_about_letters(entry, digits)
    terms = join_compounds(split(text, entry.quantity, entry.decimal_comma), entry.quantity)
    if len(terms) == 1:
        return _one_value(entry, terms[0])
    if len(terms) == 2 and _two_units(entry, terms):
        return _one_value_twice(entry, *terms)
    if is_range(terms):
        raise EntryError("range", typed=entry.typed)
    raise EntryError("several-values")


def _one_value(entry: _Entry, term: Term | Reading) -> Result:
    candidates = _readings(entry, term)
    sure = isinstance(term, Reading) or not doubtful(term, entry.quantity)
    if sure and len(candidates) == 1:
        return Typed(entry.raw, candidates[0].measured, None, candidates[0].resolution)
    if isinstance(term, Term) and not sure and not term.unit_text:
        why = phrase("which-unit", typed=entry.typed)
    elif sure:
        why = phrase("more-than-one-way", typed=entry.typed)
    else:
        why = _which_unit_is_meant(entry)
    return Question(entry.raw, why, _choices(entry, candidates))


def _which_unit_is_meant(entry: _Entry) -> Phrase:
    """The question for a unit's spelling that may stand for two units."""
    if entry.quantity == "volume":
        return phrase("which-volume", typed=entry.typed)
    if entry.quantity == "torque":
        return phrase("which-torque", typed=entry.typed)
    if entry.quantity == "temperature":
        return phrase("which-temperature", typed=entry.typed)
    return phrase("which-meaning", typed=entry.typed)


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
        why = phrase("more-than-one-way", typed=entry.typed)
        return Question(entry.raw, why, _choices(entry, [one for one, _ in agreeing]))
    typed, printed = ones[0].measured, others[0].measured
    why = phrase(
        "two-values-differ",
        typed=_shown(entry, typed.value, typed.unit),
        same=_shown(entry, typed.in_unit(printed.unit), printed.unit),
        printed=_shown(entry, printed.value, printed.unit),
    )
    return Question(entry.raw, why, _choices(entry, [*ones, *others]))


def _shown(entry: _Entry, value: Fraction, unit: Unit) -> str:
    """A value written as this person writes decimals."""
    text = show(value, unit)
    return text.replace(".", ",") if entry.decimal_comma else text


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
    why = phrase("letter-for-digit", digits=digits)
    if isinstance(meant, Question):
        return Question(entry.raw, why, meant.choices)
    if isinstance(meant, Typed):
        label = _shown(entry, meant.measured.value, meant.measured.unit)
        return Question(entry.raw, why, (Choice(label, digits, meant.measured),))
    return Unreadable(entry.raw, phrase("letter-in-number"))


def _readings(entry: _Entry, term: Term | Reading) -> list[Reading]:
    quantity = entry.quantity
    candidates = [term] if isinstance(term, Reading) else readings(term, quantity)
    fitting = [each for each in candidates if abs(each.measured.value) < LARGEST]
    if not fitting:
        raise EntryError("number-too-large")
    if any(each.measured.value < 0 for each in fitting) and not QUANTITIES[quantity].signed:
        raise EntryError("not-negative", quantity=QuantityName(quantity))
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
