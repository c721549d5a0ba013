"""Split an entry into numbers with their units, and put together what belongs together."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from prep.rules.entries import spellings
from prep.rules.entries.number import INCH_PARTS, NUMBER, Number, meanings
from prep.rules.entries.results import EntryError
from prep.rules.phrase import QuantityName
from prep.rules.quantities.quantity import Measured, Unit, canonical, decimal_text, unit

# What stands between two numbers: the first one's unit, then perhaps a separator, then a sign.
_BETWEEN: Final = re.compile(
    r"""(?P<unit>.*?)[\s]*+
        (?P<separator>[(\[{/=,;:|+–~-]|\.\.+|\b(?:to|through|until|thru|or|ou|o|and|et|y|hasta|a)\b|à)?
        [\s]*+(?P<sign>[-+])?[\s]*""",
    re.VERBOSE | re.IGNORECASE,
)
_RANGE: Final = frozenset({"-", "–", "~", "to", "through", "thru", "until", "hasta", "a", "à"})
_OPEN: Final = frozenset({"(", "[", "{"})
_BLANKS: Final = " .\u00a0"  # a point may end a sentence or an abbreviation
_JOINS: Final = frozenset({"", "-", ",", "and", "et", "y"})

# 5 ft 3 in, 3 lb 4 oz, 5° 50', 1 h 30 min: a whole number of the larger, then less than one of it.
_COMPOUND: Final = {
    ("ft", "in"): 12,
    ("lb", "oz"): 16,
    ("°", "arcmin"): 60,
    ("h", "min"): 60,
    ("min", "s"): 60,
}
LONGEST: Final = Fraction(100)  # m; no machine and no run of hose in a shop is longer


@dataclass(frozen=True, slots=True)
class Term:
    """A number's possible meanings, the unit written after it, and what stood before it."""

    numbers: tuple[Number, ...]
    unit_text: str
    separator: str
    negative: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing a term can mean, with a text that means nothing else."""

    measured: Measured
    resolution: Fraction
    text: str


def split(text: str, quantity: str, decimal_comma: bool | None) -> list[Term]:
    """The entry as terms; EntryError if something other than numbers and units is in it."""
    matches = list(NUMBER.finditer(text))
    lead = text[: matches[0].start()].strip()
    if lead.rstrip("+-") or len(lead) > 1:
        if len(matches) > 1:
            raise EntryError("several-values")
        raise EntryError("number-first", typed=lead)
    terms = []
    separator, sign = "", lead
    for match, following in zip(matches, [*matches[1:], None], strict=True):
        numbers = tuple(meanings(match, quantity, decimal_comma))
        gap = text[match.end() : following.start() if following else len(text)]
        if following is None:
            tail = gap.rstrip(" )]}") if separator in _OPEN else gap
            terms.append(Term(numbers, tail.strip(_BLANKS), separator, sign == "-"))
            break
        between = _BETWEEN.fullmatch(gap)
        unit_text = (between["unit"] if between else gap).strip(_BLANKS)
        terms.append(Term(numbers, unit_text, separator, sign == "-"))
        separator = (between["separator"] or "").lower() if between else ""
        sign = (between["sign"] or "") if between else ""
    return terms


def readings(term: Term, quantity: str) -> list[Reading]:
    """Everything the term can mean by itself; EntryError if its unit is none of this quantity's."""
    units = _units(term, quantity)
    sign = -1 if term.negative else 1
    candidates = [
        Reading(
            Measured(sign * number.value, each),
            number.resolution,
            ("-" if term.negative and number.value else "") + number.text,
        )
        for each in units
        for number in term.numbers
    ]
    if quantity == "length" and len(term.numbers) > 1:
        candidates = [
            each for each in candidates if abs(each.measured.si()) <= LONGEST
        ] or candidates
    return candidates


def doubtful(term: Term, quantity: str) -> bool:
    """Whether the term leaves a question even if it has a single reading (`35#`, a bare `12`)."""
    if term.unit_text:
        return not spellings.sure(term.unit_text, quantity)
    return quantity not in {"ratio", "count"} and not _inches(term, quantity)


def _inches(term: Term, quantity: str) -> bool:
    """A bare workshop fraction in a length box is in inches: no other rule is divided so."""
    return quantity == "length" and all(n.parts in INCH_PARTS for n in term.numbers)


def _units(term: Term, quantity: str) -> tuple[Unit, ...]:
    if not term.unit_text:
        if quantity in {"ratio", "count"}:
            return (canonical(quantity),)
        return (unit("in"),) if _inches(term, quantity) else spellings.usual(quantity)
    units = spellings.meanings(term.unit_text, quantity)
    if units:
        return units
    examples = tuple(each.symbol for each in spellings.usual(quantity)[:2])
    named = QuantityName(quantity)
    other = spellings.quantity_of(term.unit_text)
    if other:
        raise EntryError(
            "unit-of-another-quantity",
            unit=term.unit_text,
            other=QuantityName(other),
            quantity=named,
            examples=examples,
        )
    raise EntryError("unknown-unit", unit=term.unit_text, quantity=named, examples=examples)


def join_compounds(terms: list[Term], quantity: str) -> list[Term | Reading]:
    """Terms, with a larger and a smaller unit after it (5 ft 3 in) made one reading."""
    joined: list[Term | Reading] = []
    for term in terms:
        last = joined[-1] if joined else None
        whole = _compound(last, term, quantity) if isinstance(last, Term) else None
        if whole:
            joined[-1] = whole
        else:
            joined.append(term)
    return joined


def _compound(large: Term, small: Term, quantity: str) -> Reading | None:
    """`large` and `small` as one value in the smaller unit, if they are written as one."""
    if small.separator not in _JOINS or len(large.numbers) > 1 or small.negative:
        return None
    pair = _pair(large, small, quantity)
    if pair is None:
        return None
    ratio, small_unit = pair
    whole = large.numbers[0]
    parts = [number for number in small.numbers if number.value < ratio]
    if whole.value.denominator != 1 or whole.resolution != 1 or len(parts) != 1:
        return None
    value = whole.value * ratio + parts[0].value
    text = decimal_text(value)
    if parts[0].parts > 1:
        text = (
            f"{value.numerator // value.denominator} {value % 1 * parts[0].parts}/{parts[0].parts}"
        )
    sign = -1 if large.negative else 1
    measured = Measured(sign * value, small_unit)
    return Reading(measured, parts[0].resolution, "-" * large.negative + text)


def _pair(large: Term, small: Term, quantity: str) -> tuple[int, Unit] | None:
    for (large_symbol, small_symbol), ratio in _COMPOUND.items():
        small_unit = unit(small_symbol)
        if small_unit.quantity != quantity or not large.unit_text:
            continue
        if spellings.meanings(large.unit_text, quantity) != (unit(large_symbol),):
            continue
        inches_left_out = not small.unit_text and small_symbol == "in" and not small.separator
        if inches_left_out or spellings.meanings(small.unit_text, quantity) == (small_unit,):
            return ratio, small_unit
    return None


def is_range(terms: Iterable[Term | Reading]) -> bool:
    """Whether two of the numbers are the ends of a range."""
    return any(isinstance(term, Term) and term.separator in _RANGE for term in terms)
