"""Read what a person typed into a box: a value without doubt, a question, no value, or a refusal.

Nothing is guessed. An entry that can mean two things comes back as a question whose choices can
each be typed instead; a word or an approximation is kept as a note and never counts as a value; nor
does "not measured, because …", which is an answer. An entry is read in these stages: characters,
rewrites of words, notes, terms (numbers and units), grammar.
The notations are those seen in print and in shops (common practice, no published source).
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from prep.rules.entries import spellings
from prep.rules.entries.characters import clean, letters_as_digits
from prep.rules.entries.grammar import meaning_of
from prep.rules.entries.notes import why_no_value, why_unmeasured
from prep.rules.entries.number import unmistakable
from prep.rules.entries.readings import Box, Reading
from prep.rules.entries.results import (
    Choice,
    EntryError,
    NotMeasured,
    Question,
    Result,
    Typed,
    Unreadable,
)
from prep.rules.entries.rewrites import in_digits
from prep.rules.entries.terms import split
from prep.rules.phrase import Phrase, QuantityName, phrase
from prep.rules.quantities.plausible import Impossible, impossible, plausible
from prep.rules.quantities.quantity import (
    QUANTITIES,
    UNITS,
    Measured,
    OtherQuantityError,
    Unit,
    UnknownUnitError,
    decimal_text,
    show,
    with_unit,
)

__all__ = ["Choice", "NotMeasured", "Question", "Result", "Typed", "Unreadable", "read"]

LONGEST_ENTRY: Final = 200  # characters
LARGEST: Final = 10**9  # in the unit typed; nothing on a machine is measured beyond

_USUAL_ENTRY: Final = re.compile(
    r"""(?P<whole>[0-9]{1,9})
        (?:(?P<mark>[.,])(?P<decimals>[0-9]{1,6})
          |[ -](?P<part>[0-9]{1,3})/(?P<parts>2|4|8|16|32|64))?
        [ ]?(?P<unit>[^0-9,;()\[\]]*)""",
    re.VERBOSE,
)
_FEET_AND_INCHES: Final = re.compile(
    r"""(?P<feet>[0-9]{1,3})(?:'|[ ]?ft)[ -]?(?P<inches>[0-9]|1[01])
        (?:[ -](?P<part>[0-9]{1,2})/(?P<parts>2|4|8|16|32|64))?(?:"|[ ]?in)?""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class _Entry:
    """What was typed, and what is known of the box and the person."""

    raw: str
    box: Box
    decimal_comma: bool | None

    @property
    def typed(self) -> str:
        return self.raw.strip()


def read(
    text: str, quantity: str, *, decimal_comma: bool | None = None, unit: Unit | None = None
) -> Result:
    """Read one entry of a box that takes `quantity`.

    `decimal_comma` is the person's number style (True 1,5; False 1.5; None not known). `unit` is
    the unit chosen beside the box: it is that of a bare number, and settles a spelling that may
    stand for it; a unit that is written prevails. UnknownUnitError if there is no such quantity,
    OtherQuantityError if the unit is none of its.
    """
    usual = _read_usual(text, quantity, decimal_comma, unit)
    if usual is not None:
        return usual
    if quantity not in QUANTITIES:
        raise UnknownUnitError(f"There is no quantity “{quantity}” to read.")
    if unit is not None and unit.quantity != quantity:
        raise OtherQuantityError(f"{unit.symbol} is no unit of {quantity}.")
    try:
        return _read(_Entry(text, Box(quantity, unit), decimal_comma))
    except EntryError as refusal:
        return Unreadable(text, refusal.why)


def _read_usual(
    text: str, quantity: str, decimal_comma: bool | None, chosen: Unit | None
) -> Typed | None:
    """A plain number and a unit there is no doubt about, which is nearly every entry."""
    match = _USUAL_ENTRY.fullmatch(text) if text.isascii() else None
    if match is None:
        return _read_feet_and_inches(text) if quantity == "length" else None
    whole, mark, decimals, part, parts, spelling = match.groups()
    if decimals and len(decimals) == 3 and len(whole) < 4:
        if decimal_comma is None or decimal_comma != (mark == ","):
            return None
    elif part and (quantity != "length" or int(part) >= int(parts)):
        return None
    unit = _usual_unit(spelling, quantity, None if part else chosen)
    if unit is None:
        return None
    scale = int(parts) if part else 10 ** len(decimals or "")
    value = Fraction(int(whole) * scale + int(part or decimals or 0), scale)
    return Typed(text, Measured(value, unit), None, Fraction(1, scale))


def _usual_unit(spelling: str, quantity: str, chosen: Unit | None) -> Unit | None:
    """The unit of a spelling there is no doubt about, or the chosen one of a bare number."""
    known = spellings.SURE.get(quantity)
    if known is None or spelling in spellings.CAPITALS:
        return None
    unit = known.get(spelling) or known.get(spellings.key(spelling))
    if unit is None and not spelling and chosen and chosen.quantity == quantity:
        return chosen
    return unit


def _read_feet_and_inches(text: str) -> Typed | None:
    """The other usual entry: 5' 3 1/2"."""
    match = _FEET_AND_INCHES.fullmatch(text) if text.isascii() else None
    if match is None:
        return None
    feet, inches, part, parts = match.groups()
    scale = int(parts or 1)
    if part and int(part) >= scale:
        return None
    value = Fraction((int(feet) * 12 + int(inches)) * scale + int(part or 0), scale)
    return Typed(text, Measured(value, UNITS["in"]), None, Fraction(1, scale))


def _read(entry: _Entry) -> Result:
    if len(entry.raw) > LONGEST_ENTRY:
        raise EntryError("too-long")
    because = why_unmeasured(entry.raw)
    if because:
        return NotMeasured(entry.raw, phrase("unmeasured"), because)
    text = in_digits(clean(entry.raw, entry.box.quantity), entry.box.quantity)
    if not text:
        raise EntryError("nothing-typed")
    why = why_no_value(text)
    if why:
        return NotMeasured(entry.raw, why)
    if not any("0" <= character <= "9" for character in text):
        raise EntryError("no-number", typed=entry.typed)
    digits = letters_as_digits(text)
    if digits != text:
        return _ask_about_letters(entry, digits)
    return _answer(entry, text)


def _answer(entry: _Entry, text: str) -> Result:
    candidates = _candidates(entry, text, entry.decimal_comma)
    if entry.decimal_comma is not None and not any(plausible(c.measured) for c in candidates):
        # 12,500 in is 317 m by the person's own style: they may have meant it the other way.
        candidates = _candidates(entry, text, None)
        if len(candidates) > 1:
            why = phrase("more-than-one-way", typed=entry.typed)
            return Question(entry.raw, why, _choices(entry, candidates, style_settles=False))
    return _typed_or_asked(entry, _likely(candidates))


def _typed_or_asked(entry: _Entry, candidates: Sequence[Reading]) -> Result:
    if all(each.among for each in candidates):
        raise EntryError("several-values")
    first = candidates[0]
    doubts = {each.doubt for each in candidates}
    if doubts == {""} and len({each.measured for each in candidates}) == 1:
        return Typed(entry.raw, first.measured, first.also, first.resolution)
    if doubts == {"no-unit"} and entry.box.quantity == "ratio" and not _is_something(candidates):
        plain = candidates[-1]
        return Typed(entry.raw, plain.measured, plain.also, plain.resolution)
    return Question(entry.raw, _why_asked(entry, candidates), _choices(entry, candidates))


def _is_something(candidates: Sequence[Reading]) -> bool:
    """Whether any of them is more than nothing: nothing is nothing in percent, too."""
    return any(each.measured.value for each in candidates)


def _why_asked(entry: _Entry, candidates: Sequence[Reading]) -> Phrase:
    doubts = {each.doubt for each in candidates}
    quantity, typed = entry.box.quantity, entry.typed
    if "differ" in doubts:
        return _why_they_differ(entry, candidates)
    if "no-unit" in doubts:
        if quantity == "ratio":
            return phrase("which-percent", typed=typed)
        return phrase("which-unit", typed=typed)
    if "unit" in doubts and len({each.text for each in candidates}) == 1:
        return _which_unit_is_meant(quantity, typed)
    return phrase("more-than-one-way", typed=typed)


def _which_unit_is_meant(quantity: str, typed: str) -> Phrase:
    """The question for a unit's spelling that may stand for two units."""
    if quantity == "volume":
        return phrase("which-volume", typed=typed)
    if quantity == "torque":
        return phrase("which-torque", typed=typed)
    if quantity == "temperature":
        return phrase("which-temperature", typed=typed)
    return phrase("which-meaning", typed=typed)


def _why_they_differ(entry: _Entry, candidates: Sequence[Reading]) -> Phrase:
    one = candidates[0].measured
    others = [c.measured for c in candidates if c.measured.unit != one.unit]
    if not others:
        return phrase("more-than-one-way", typed=entry.typed)
    other = others[0]
    return phrase(
        "two-values-differ",
        typed=_shown(entry, one.value, one.unit),
        same=_shown(entry, one.in_unit(other.unit), other.unit),
        printed=_shown(entry, other.value, other.unit),
    )


def _shown(entry: _Entry, value: Fraction, unit: Unit) -> str:
    """A value written as this person writes decimals."""
    text = show(value, unit)
    return text.replace(".", ",") if entry.decimal_comma else text


def _ask_about_letters(entry: _Entry, digits: str) -> Result:
    """A letter O or l in a number: whatever the digits would mean is asked, never taken."""
    meant = read(digits, entry.box.quantity, decimal_comma=entry.decimal_comma, unit=entry.box.unit)
    why = phrase("letter-for-digit", digits=digits)
    if isinstance(meant, Question):
        return Question(entry.raw, why, meant.choices)
    if isinstance(meant, Typed):
        label = _shown(entry, meant.measured.value, meant.measured.unit)
        return Question(entry.raw, why, (Choice(label, digits, meant.measured),))
    return Unreadable(entry.raw, phrase("letter-in-number"))


def _candidates(entry: _Entry, text: str, decimal_comma: bool | None) -> list[Reading]:
    """All that the text can mean and that can be; EntryError if nothing is left."""
    readings = meaning_of(split(text, entry.box.quantity, decimal_comma), entry.box)
    small = [each for each in readings if abs(each.measured.value) < LARGEST]
    if not small:
        raise EntryError("number-too-large")
    possible = [each for each in small if not impossible(each.measured)]
    if not possible:
        raise _why_impossible(entry, small[0].measured)
    return possible


def _why_impossible(entry: _Entry, measured: Measured) -> EntryError:
    why = impossible(measured)
    if why is Impossible.BELOW_ABSOLUTE_ZERO:
        return EntryError("below-absolute-zero", typed=entry.typed)
    if why is Impossible.BELOW_VACUUM:
        return EntryError("below-vacuum", typed=entry.typed)
    return EntryError("not-negative", quantity=QuantityName(entry.box.quantity))


def _likely(candidates: list[Reading]) -> list[Reading]:
    """Those that may stand on a machine, where any do: 13,875 in is no 352 m."""
    return [each for each in candidates if plausible(each.measured)] or candidates


def _choices(
    entry: _Entry, candidates: Iterable[Reading], *, style_settles: bool = True
) -> tuple[Choice, ...]:
    """Each meaning once, written as this person writes decimals."""
    comma = entry.decimal_comma
    choices: dict[Measured, Choice] = {}
    for each in candidates:
        sign, number = ("-", each.text[1:]) if each.text.startswith("-") else ("", each.text)
        typed = number if style_settles and comma is not None else unmistakable(number)
        texts = (_written(sign + text, each.measured) for text in (number, typed))
        label, text = (each.replace(".", ",") if comma else each for each in texts)
        choices.setdefault(each.measured, Choice(label, text, each.measured))
    return tuple(choices.values())


def _written(number: str, measured: Measured) -> str:
    """A choice's text; a plain ratio has its percents beside it, which nobody can mistake."""
    if measured.unit.symbol != "1" or ":" in number:
        return with_unit(number, measured.unit)
    return f"{number} = {decimal_text(measured.value * 100)} %"
