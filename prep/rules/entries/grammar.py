"""The grammar of entries: a table of shapes, each with what it means.

An entry is split into numbers, their units and what joins them, and its shape is written in letters
(see `terms.shape`). The first production whose shape fits, and that finds a meaning, is what the
entry says. To teach the reader another way of writing, add a production with its example, which a
test reads; a word for a digit or a sign goes into `rewrites`, a spelling into `spelling_table`.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from prep.rules.entries.readings import (
    Box,
    Reading,
    agreeing,
    fraction_after,
    is_whole,
    of_term,
    summed,
    total,
)
from prep.rules.entries.results import EntryError
from prep.rules.entries.terms import Term, shape
from prep.rules.quantities.quantity import Measured, canonical, decimal_text, unit

Readings = list[Reading]


def _one(terms: Sequence[Term], box: Box) -> Readings:
    return of_term(terms[0], box)


def _of_total(terms: Sequence[Term], box: Box) -> Readings | None:
    """5 of 6: five counted, or five sixths as a ratio."""
    numbers = [term.numbers[0] for term in terms]
    if any(len(term.numbers) > 1 for term in terms) or any(n.resolution != 1 for n in numbers):
        return None
    done, all_ = (number.value for number in numbers)
    if done > all_ or not all_:
        raise EntryError("more-than-all", typed=f"{numbers[0].text} / {numbers[1].text}")
    if box.quantity == "ratio":
        return _ratio(terms, box)
    if terms[-1].unit_text:
        of_term(terms[-1], box)  # refuses what is no unit of a count
    return [Reading(Measured(done, canonical("count")), Fraction(1), numbers[0].text)]


def _ratio(terms: Sequence[Term], box: Box) -> Readings | None:
    """1.93:1."""
    one, other = (term.numbers[0] for term in terms)
    if any(len(term.numbers) > 1 for term in terms) or other.value < 1 or other.resolution != 1:
        return None
    value = Measured(one.value / other.value, canonical("ratio"))
    return [Reading(value, one.resolution / other.value, f"{one.text}:{other.text}")]


def _clock(terms: Sequence[Term], box: Box) -> Readings | None:
    """1:30 is hours and minutes, or minutes and seconds; 1:30:15 can be hours only."""
    numbers = [term.numbers[0] for term in terms]
    if any(len(t.numbers) > 1 for t in terms) or any(n.resolution != 1 for n in numbers):
        return None
    values = [number.value for number in numbers]
    if any(value >= 60 for value in values[1:]):
        return None
    value = Fraction(0)
    for each in values:
        value = value * 60 + each
    symbols = ("s",) if len(values) == 3 else ("min", "s")
    doubt = "" if len(symbols) == 1 else "unit"
    return [
        Reading(Measured(value, unit(symbol)), Fraction(1), decimal_text(value), doubt)
        for symbol in symbols
    ]


def _in_two_units(terms: Sequence[Term], box: Box) -> Readings | None:
    """One value in two units: each is checked by the other, and each settles the other's doubt."""
    for place in range(1, len(terms)):
        joint = terms[place].joint
        if joint not in "(/=|,;- ":
            continue
        ones, others = value_of(terms[:place], box), value_of(terms[place:], box)
        if ones is None or others is None or _bare(ones, others, box):
            continue
        pairs = agreeing(ones, others)
        if pairs:
            return [replace(one, doubt="", also=other.measured) for one, other in pairs]
        if joint != "-" and not {_unit(each) for each in ones} & {_unit(each) for each in others}:
            sums = _sums(ones, others) if joint in " ," else []
            return [replace(each, doubt="differ") for each in (*ones, *others, *sums)]
    return None


def _bare(ones: Readings, others: Readings, box: Box) -> bool:
    """Whether a unit is missing: 450, 460 is no torque in two units. Only a ratio needs none."""
    return box.quantity != "ratio" and any(each.doubt == "no-unit" for each in (*ones, *others))


def _unit(reading: Reading) -> str:
    return reading.measured.unit.symbol


def _sums(ones: Readings, others: Readings) -> Readings:
    """What 5 ft 14 in would be together."""
    return [
        total((one, other), negative=one.measured.value < 0)
        for one in ones
        for other in others
        if is_whole(one) and other.measured.unit.factor < one.measured.unit.factor
    ]


def _range(terms: Sequence[Term], box: Box) -> Readings:
    raise EntryError("range")


def _several(terms: Sequence[Term], box: Box) -> Readings:
    raise EntryError("several-values")


Meaning = Callable[[Sequence[Term], Box], Readings | None]


@dataclass(frozen=True, slots=True)
class Production:
    """One way of writing: its shape, the boxes it is known in (none: all), meaning, an example."""

    name: str
    shape: re.Pattern[str]
    meaning: Meaning
    example: str
    box: str
    only: frozenset[str] = frozenset()


def _production(
    name: str, pattern: str, meaning: Meaning, example: str, box: str, *only: str
) -> Production:
    return Production(name, re.compile(pattern), meaning, example, box, frozenset(only))


VALUES: Final = (
    _production("one value", r"[NF]u?", _one, "13 7/8 in", "length"),
    _production(
        "a fraction after its unit",
        r"Nu(?:[ ,a+-]Nu)*[ ,a+-]F",
        fraction_after,
        "14 po 1/4",
        "length",
    ),
    _production(
        "a larger unit and smaller ones",
        r"Nu(?:[ ,a+-][NF]u)*[ ,a+-][NF]u?",
        summed,
        "5 ft 3 in",
        "length",
    ),
    _production("so many of so many", r"NoNu?", _of_total, "12 of 12", "count", "count", "ratio"),
    _production("one to another", r"N[:t]N", _ratio, "1.93:1", "ratio", "ratio"),
    _production("a clock's reading", r"N:N(?::N)?", _clock, "1:30:15", "time", "time"),
)
PRODUCTIONS: Final = (
    *VALUES,
    _production(
        "one value in two units",
        r"[NF].*[NF].*",
        _in_two_units,
        "170 ft lb (230 Nm)",
        "torque",
    ),
    _production("a range is refused", r"[NF]u?[t~-][NF]u?.*", _range, "85-100 ft lb", "torque"),
    _production("several values are refused", r".*", _several, "110; 95", "torque"),
)


def meaning_of(terms: Sequence[Term], box: Box) -> Readings:
    """What the terms of an entry can mean together."""
    readings = _first(PRODUCTIONS, terms, box)
    assert readings is not None  # the last production fits every shape and refuses it
    return readings


def value_of(terms: Sequence[Term], box: Box) -> Readings | None:
    """What a part of an entry means as a value of its own; None if it is none."""
    return _first(VALUES, (replace(terms[0], joint=""), *terms[1:]), box)


def _first(productions: Sequence[Production], terms: Sequence[Term], box: Box) -> Readings | None:
    letters = shape(list(terms))
    for each in productions:
        if each.only and box.quantity not in each.only:
            continue
        if each.shape.fullmatch(letters):
            readings = each.meaning(terms, box)
            if readings is not None:
                return readings
    return None
