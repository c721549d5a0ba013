"""What a number with its unit can mean, and what several together do."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise, product
from typing import Final

from prep.rules.entries import spellings
from prep.rules.entries.number import INCH_PARTS, Number
from prep.rules.entries.results import EntryError
from prep.rules.entries.terms import Term
from prep.rules.phrase import QuantityName
from prep.rules.quantities.quantity import Measured, Unit, canonical, decimal_text, unit
from prep.rules.quantities.usual_units import is_us_customary

GAP: Final = Fraction(2, 100)  # two units in one entry may differ by this much, from rounding

# A smaller unit that goes without saying after a larger one: 5' 3, 1 h 30, 5° 50, 2 m 15.
_UNSAID: Final = {"ft": "in", "h": "min", "°": "arcmin", "arcmin": "arcsec", "m": "cm"}


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing an entry can mean, with its number's text.

    `doubt` is what has to be asked even where this is all it can mean: `no-unit`, `unit`, or
    `differ` of two values that do not agree. `also` is the same value typed in a second unit,
    `among` says that it would be one of two numbers.
    """

    measured: Measured
    resolution: Fraction
    text: str
    doubt: str = ""
    among: bool = False
    also: Measured | None = None


@dataclass(frozen=True, slots=True)
class Box:
    """What is known beside the text: the quantity of the box, and the unit chosen for it."""

    quantity: str
    unit: Unit | None = None


def of_term(term: Term, box: Box) -> list[Reading]:
    """Everything the term can mean by itself; EntryError if its unit is none of this quantity's."""
    sign = -1 if term.negative else 1
    return [
        Reading(
            Measured(sign * number.value, each),
            number.resolution,
            ("-" if term.negative and number.value else "") + number.text,
            doubt,
            number.among,
        )
        for number in term.numbers
        for each, doubt in _units(term, number, box)
    ]


def _units(term: Term, number: Number, box: Box) -> list[tuple[Unit, str]]:
    if not term.unit_text:
        return _unsaid_units(number, box)
    units = spellings.meanings(term.unit_text, box.quantity)
    if box.unit in units:
        return [(box.unit, "")] if box.unit else []
    if units:
        doubt = "" if spellings.sure(term.unit_text, box.quantity) else "unit"
        return [(each, doubt) for each in units]
    raise _no_unit_of(term.unit_text, box.quantity)


def _unsaid_units(number: Number, box: Box) -> list[tuple[Unit, str]]:
    """The units of a bare number: the chosen one, or a question.

    A bare workshop fraction in a length box is in inches: no other rule is divided so.
    """
    if box.quantity == "count":
        return [(canonical("count"), "")]
    inches = box.quantity == "length" and number.parts in INCH_PARTS
    if inches and (box.unit is None or box.unit.symbol == "in"):
        return [(unit("in"), "")]
    if box.unit is None:
        return [(each, "no-unit") for each in spellings.usual(box.quantity)]
    if inches:
        return [(unit("in"), "no-unit"), (box.unit, "no-unit")]
    return [(box.unit, "")]


def _no_unit_of(text: str, quantity: str) -> EntryError:
    examples = tuple(each.symbol for each in spellings.usual(quantity)[:2])
    named = QuantityName(quantity)
    other = spellings.quantity_of(text)
    if other:
        return EntryError(
            "unit-of-another-quantity",
            unit=text,
            other=QuantityName(other),
            quantity=named,
            examples=examples,
        )
    return EntryError("unknown-unit", unit=text, quantity=named, examples=examples)


def fraction_after(terms: Sequence[Term], box: Box) -> list[Reading] | None:
    """`14 po 1/4`, `5 ft 3 in 1/2`: the last fraction belongs to the unit before it."""
    *before, last = terms
    fraction = last.numbers[0]
    readings = of_term(before[0], box) if len(before) == 1 else summed(before, box)
    if readings is None or any(not is_whole(each) for each in readings):
        return None
    return [_with_part(each, fraction) for each in readings]


def _with_part(reading: Reading, part: Number) -> Reading:
    value, unit_ = reading.measured.value, reading.measured.unit
    sign = -1 if reading.text.startswith("-") else 1
    text = f"{reading.text} {part.value.numerator}/{part.value.denominator}"
    measured = Measured(value + sign * part.value, unit_)
    return Reading(measured, Fraction(1, part.parts), text, reading.doubt)


def summed(terms: Sequence[Term], box: Box) -> list[Reading] | None:
    """A larger and smaller units after it (5 ft 3 in, 12° 15' 30") as one value in the smallest."""
    if any(term.negative for term in terms[1:]):
        return None
    options: list[list[Reading]] = []
    for term in terms:
        option = of_term(term, box) if term.unit_text else _unsaid(term, options)
        if option is None:
            return None
        options.append(option)
    chains = [each for each in product(*options) if _descends(each)]
    if not chains:
        return None
    totals = (total(each, negative=terms[0].negative) for each in chains)
    sums = list(dict.fromkeys(each for each in totals if _as_written(each)))
    return [replace(each, doubt="unit") for each in sums] if len(sums) > 1 else sums or None


def _as_written(each: Reading) -> bool:
    """Whether the sum has no digit that nobody wrote."""
    return (each.measured.value / each.resolution).denominator == 1


def _unsaid(term: Term, before: Sequence[Sequence[Reading]]) -> list[Reading] | None:
    """A bare smaller number after a larger unit that leaves only one smaller unit to mean."""
    last = before[-1][0].measured.unit.symbol if before and len(before[-1]) == 1 else ""
    smaller = _UNSAID.get(last)
    if smaller is None or len(term.numbers) != 1:
        return None
    number = term.numbers[0]
    if smaller == "cm" and not (len(number.text) == 2 and number.text.isdigit()):
        return None
    return [Reading(Measured(number.value, unit(smaller)), number.resolution, number.text)]


def is_whole(reading: Reading) -> bool:
    """Whether it was written without a part of one."""
    return reading.measured.value.denominator == 1 and reading.resolution == 1


def _descends(chain: Sequence[Reading]) -> bool:
    """Whether each but the last is whole, and each less than one of the unit before it."""
    if len({_system(each.measured.unit) for each in chain}) > 1:
        return False
    return all(is_whole(large) and _less_than_one(small, large) for large, small in pairwise(chain))


def _less_than_one(small: Reading, large: Reading) -> bool:
    factor, other = small.measured.unit.factor, large.measured.unit.factor
    return (
        factor < other and not large.measured.unit.offset and small.measured.value * factor < other
    )


def _system(each: Unit) -> str:
    if each.symbol.startswith("imp "):
        return "imperial"
    return "us" if is_us_customary(each.symbol) else "metric"


def total(chain: Sequence[Reading], *, negative: bool = False) -> Reading:
    """The sum of readings, in the unit of the last."""
    smallest = chain[-1]
    factor = smallest.measured.unit.factor
    value = sum(
        (abs(each.measured.value) * each.measured.unit.factor for each in chain), Fraction(0)
    )
    value, parts = value / factor, smallest.resolution.denominator
    text = decimal_text(value)
    if "/" in smallest.text and (value * parts).denominator == 1:
        text = f"{value.numerator // value.denominator} {value % 1 * parts}/{parts}"
    elif Fraction(text) != value:
        value = Fraction(text)  # of two systems: what can be typed
    measured = Measured(-value if negative else value, smallest.measured.unit)
    return Reading(measured, smallest.resolution, ("-" if negative else "") + text)


def agreeing(ones: Sequence[Reading], others: Sequence[Reading]) -> list[tuple[Reading, Reading]]:
    """The pairs that are one value in two units."""
    return [
        (one, other)
        for one in ones
        for other in others
        if one.measured.unit != other.measured.unit and _agree(one, other)
    ]


def _agree(one: Reading, other: Reading) -> bool:
    """Within GAP of the larger; for a temperature, whose zero is arbitrary, also within 1 K."""
    first, second = one.measured.canonical(), other.measured.canonical()
    allowed = GAP * max(abs(first), abs(second))
    if one.measured.unit.quantity == "temperature":
        allowed = max(allowed, Fraction(1))
    return abs(first - second) <= allowed
