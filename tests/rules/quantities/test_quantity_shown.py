"""Values are shown as a workshop writes them; a rule's float becomes the number meant."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.quantities.quantity import (
    UNITS,
    Measured,
    Unit,
    decimal_text,
    fraction_text,
    from_si,
    show,
    unit,
)

many = settings(max_examples=100, derandomize=True)
units = st.sampled_from(sorted(UNITS.values(), key=lambda each: each.symbol))
numbers = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6)


# Mechanics' fraction pages and a table of decimal equivalents (chestofbooks.com).
@pytest.mark.parametrize(
    ("value", "denominator", "text"),
    [
        ("0.123", 64, "1/8"),
        ("0.3", 16, "5/16"),
        ("0.4", 64, "13/32"),
        ("0.7", 64, "45/64"),
        ("0.133", 64, "9/64"),
        ("0.3670", 64, "23/64"),
        ("0.8979", 64, "57/64"),
    ],
)
def test_a_decimal_becomes_the_published_fraction(value: str, denominator: int, text: str) -> None:
    """Published decimal equivalents."""
    assert fraction_text(Fraction(value), denominator) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("14", "14"),
        ("13.875", "13 7/8"),
        ("-0.25", "-1/4"),
        ("0", "0"),
        ("0.999", "1"),
        ("-0.001", "0"),
    ],
)
def test_whole_mixed_and_negative_fractions(value: str, text: str) -> None:
    """Mixed numbers carry; what rounds to nothing has no sign."""
    assert fraction_text(Fraction(value)) == text


@many
@given(st.integers(-(10**5), 10**5), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_a_workshop_fraction_is_written_exactly(parts: int, denominator: int) -> None:
    """Sum the text's parts and the value is there again."""
    value = Fraction(parts, denominator)
    text = fraction_text(value)
    total = sum(Fraction(part) for part in text.lstrip("-").split())
    assert (-total if text.startswith("-") else total) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "0"),
        (Fraction("355.6"), "355.6"),
        (Fraction("-0.00025"), "-0.00025"),
        (Fraction(1, 3), "0.333333333333"),
        (Fraction(2, 3), "0.666666666667"),
        (Fraction("1.000000000005"), "1"),
        (Fraction("1.000000000015"), "1.00000000002"),
        (Fraction(999_999_999_999_999), "1000000000000000"),
        (Fraction("0.9999999999999"), "1"),
        (Fraction(10**15), "1000000000000000"),
    ],
)
def test_decimal_text_is_plain_and_rounds_half_to_even(value: Fraction, text: str) -> None:
    """Twelve significant digits, no exponent."""
    assert decimal_text(value) == text


@many
@given(
    st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-9999, max_value=9999)
)
def test_a_short_decimal_is_written_exactly(value: Decimal) -> None:
    """Nothing that fits is altered."""
    assert Fraction(decimal_text(Fraction(value))) == Fraction(value)


@many
@given(numbers)
def test_decimal_text_is_within_half_a_unit_of_its_last_digit(value: Fraction) -> None:
    """The error is at most 5e-12 of the value."""
    assert abs(Fraction(decimal_text(value)) - value) * 10**12 <= 5 * abs(value)


@pytest.mark.parametrize(
    ("value", "symbol", "text"),
    [
        ("13.875", "in", "13 7/8 in"),
        ("14", "in", "14 in"),
        ("5.99", "in", "5.99 in"),
        ("101.69", "N·m", "101.69 N·m"),
        ("0.62", "in", "0.62 in"),
        ("0.5", "ft", "0.5 ft"),
        ("4", "count", "4"),
        ("1.5", "1", "1.5"),
        ("40", "%", "40 %"),
        ("5", "°", "5°"),
    ],
)
def test_a_typed_value_is_shown_unaltered(value: str, symbol: str, text: str) -> None:
    """Fractions for the inch rule, decimals for the rest."""
    assert show(Fraction(value), unit(symbol)) == text


@pytest.mark.parametrize(
    ("value", "symbol", "other", "text"),
    [
        ("170", "ft·lbf", "N·m", "230.5 N·m"),
        ("1", "psi", "kPa", "6.895 kPa"),
        ("1000000", "psi", "kPa", "6894757 kPa"),
    ],
)
def test_a_computed_value_is_shown_with_four_digits(
    value: str, symbol: str, other: str, text: str
) -> None:
    """NIST SP 811 factors, rounded; digits before the point are never dropped."""
    assert show(Measured(Fraction(value), unit(symbol)).in_unit(unit(other)), unit(other)) == text


@pytest.mark.parametrize(
    ("value", "symbol", "step", "text"),
    [
        ("13.86", "in", "1/16", "13 7/8 in"),
        ("230.489", "N·m", "0.5", "230.5 N·m"),
        ("2.5", "mm", "1", "3 mm"),
        ("-2.5", "mm", "1", "-3 mm"),
        ("-0.2", "mm", "1", "0 mm"),
    ],
)
def test_a_value_is_shown_to_a_step(value: str, symbol: str, step: str, text: str) -> None:
    """Ties go away from zero, as the pocketbooks had it."""
    assert show(Fraction(value), unit(symbol), Fraction(step)) == text


@pytest.mark.parametrize(
    ("value", "symbol", "exact"),
    [
        (0.35560000000000001, "m", "0.3556"),
        (0.3556, "in", "14"),
        (273.15, "°F", "32"),
        (310.92777777777775, "°F", "100"),
        (273.15 + 1e-13, "°C", "0"),
        (0.0, "mm", "0"),
        (-0.00635, "in", "-0.25"),
    ],
)
def test_a_rules_answer_becomes_the_number_meant(value: float, symbol: str, exact: str) -> None:
    """A float's error does not reach the record; 14 in are 355.6 mm (NIST SP 811)."""
    assert from_si(value, unit(symbol)) == Measured(Fraction(exact), unit(symbol))


@many
@given(one=units, value=st.decimals(min_value="0.001", max_value=99999, places=3))
def test_a_value_in_any_unit_survives_a_rules_float(one: Unit, value: Decimal) -> None:
    """Up to eight digits come back from SI floats exactly."""
    measured = Measured(Fraction(value), one)
    assert from_si(float(measured.si()), one) == measured


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_a_number_is_not_shown(value: float) -> None:
    """A rule that overflowed must not become a reading."""
    with pytest.raises(ValueError, match="is not a number that can be shown in mm"):
        from_si(value, unit("mm"))
