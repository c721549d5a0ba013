"""Each row of the grammar does what its example says, and what it writes reads back."""

from collections.abc import Callable
from fractions import Fraction
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.entries.grammar import PRODUCTIONS, Production
from prep.rules.entries.read import Typed, Unreadable, read
from prep.rules.entries.rewrites import REWRITES, Rewrite, in_digits
from prep.rules.entries.terms import JOINTS, shape, split
from prep.rules.quantities.quantity import decimal_text

REFUSING: Final = {"a range is refused", "several values are refused"}


@pytest.mark.parametrize("row", REWRITES, ids=lambda row: row.example)
def test_a_rewrite_does_what_its_example_says(row: Rewrite) -> None:
    """Its own pattern fits the example, and all rewrites together give the outcome."""
    quantity = next(iter(row.quantities), "length")
    assert in_digits(row.example, quantity) == row.outcome


@pytest.mark.parametrize("row", REWRITES, ids=lambda row: row.example)
def test_a_rewrite_is_needed_for_its_example(row: Rewrite, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without it the example becomes something else."""
    others = tuple(each for each in REWRITES if each is not row)
    monkeypatch.setattr("prep.rules.entries.rewrites.REWRITES", others)
    assert in_digits(row.example, next(iter(row.quantities), "length")) != row.outcome


@pytest.mark.parametrize("row", PRODUCTIONS, ids=lambda row: row.name)
def test_a_production_is_the_one_that_reads_its_example(row: Production) -> None:
    """No earlier one has the same shape."""
    letters = shape(split(row.example, row.box, decimal_comma=False))
    assert row.shape.fullmatch(letters)
    first = next(
        each
        for each in PRODUCTIONS
        if each.shape.fullmatch(letters) and (not each.only or row.box in each.only)
    )
    fits_before = {"a range is refused", "several values are refused"}  # no value in two units
    assert first is row or row.name in fits_before
    expected = Unreadable if row.name in REFUSING else Typed
    assert isinstance(read(row.example, row.box), expected)


def test_no_joint_stands_for_two_letters() -> None:
    """Or the shape of an entry would depend on the order of a table."""
    joints = [joint for texts in JOINTS.values() for joint in texts.split()]
    assert len(joints) == len(set(joints))


parts = st.sampled_from([2, 4, 8, 16])
Written = tuple[str, str, Fraction, str]  # text, box, value, unit


def _one(whole: int, part: int, of: int) -> Written:
    return f"{whole} {part}/{of} in", "length", whole + Fraction(part, of), "in"


def _after(whole: int, part: int, of: int) -> Written:
    return f"{whole} po {part}/{of}", "length", whole + Fraction(part, of), "in"


def _larger(whole: int, part: int, of: int) -> Written:
    return (
        f"{whole} ft {of % 12} {part}/{of} in",
        "length",
        whole * 12 + of % 12 + Fraction(part, of),
        "in",
    )


def _of_many(whole: int, part: int, of: int) -> Written:
    return f"{part} of {of}", "count", Fraction(part), "count"


def _to_one(whole: int, part: int, of: int) -> Written:
    return f"{whole}.{part}:1", "ratio", Fraction(f"{whole}.{part}"), "1"


def _clock(whole: int, part: int, of: int) -> Written:
    return f"{whole}:{of}:{part}", "time", Fraction(whole * 3600 + of * 60 + part), "s"


def _twice(whole: int, part: int, of: int) -> Written:
    inches = whole + Fraction(part, of)
    millimeters = decimal_text(inches * Fraction("25.4"), 9)
    return f"{whole} {part}/{of} in ({millimeters} mm)", "length", inches, "in"


WRITERS: Final[dict[str, Callable[[int, int, int], Written]]] = {
    "one value": _one,
    "a fraction after its unit": _after,
    "a larger unit and smaller ones": _larger,
    "so many of so many": _of_many,
    "one to another": _to_one,
    "a clock's reading": _clock,
    "one value in two units": _twice,
}


def test_every_production_that_reads_has_a_writer() -> None:
    """A new one is tried the same way."""
    assert set(WRITERS) | REFUSING == {row.name for row in PRODUCTIONS}


@pytest.mark.parametrize("name", WRITERS)
@settings(max_examples=60, derandomize=True)
@given(whole=st.integers(1, 59), part=st.integers(1, 15), of=parts)
def test_what_the_grammar_writes_reads_back(name: str, whole: int, part: int, of: int) -> None:
    """Exactly, in the unit it is written in."""
    text, box, value, symbol = WRITERS[name](whole, part % of or 1, of)
    result = read(text, box, decimal_comma=False)
    assert isinstance(result, Typed), (text, result)
    assert (result.measured.value, result.measured.unit.symbol) == (value, symbol)
