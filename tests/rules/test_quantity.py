"""Units convert exactly and values are shown the way a workshop writes them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.rules.quantity import (
    QUANTITIES,
    UNITS,
    Measured,
    OtherQuantityError,
    Unit,
    UnknownUnitError,
    canonical,
    decimal_text,
    fraction_text,
    from_si,
    show,
    si,
    unit,
)

units = st.sampled_from(sorted(UNITS.values(), key=lambda each: each.symbol))
numbers = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6)


# Factors: NIST Special Publication 811, appendix B.8 (the definitions are exact).
@pytest.mark.parametrize(
    ("symbol", "other", "factor"),
    [
        ("in", "mm", "25.4"),
        ("ft", "m", "0.3048"),
        ("lb", "kg", "0.45359237"),
        ("oz", "g", "28.349523125"),
        ("lbf", "N", "4.4482216152605"),
        ("ft·lbf", "N·m", "1.3558179483314004"),
        ("in³", "mL", "16.387064"),
        ("US gal", "in³", "231"),
        ("US gal", "L", "3.785411784"),
        ("US qt", "L", "0.946352946"),
        ("US pt", "L", "0.473176473"),
        ("US fl oz", "mL", "29.5735295625"),
        ("imp gal", "L", "4.54609"),
        ("metric hp", "W", "735.49875"),
        ("kgf·m", "N·m", "9.80665"),
        ("cSt", "mm²/s", "1"),
        ("cP", "mPa·s", "1"),
    ],
)
def test_a_published_factor_is_exact(symbol, other, factor):
    """NIST SP 811, appendix B.8: equality, not closeness."""
    assert Measured(Fraction(1), unit(symbol)).in_unit(unit(other)) == Fraction(factor)


# The same table prints these, which do not end within its digits, rounded.
@pytest.mark.parametrize(
    ("symbol", "other", "factor", "digits"),
    [
        ("in·lbf", "N·m", "0.1129848290276167", 16),
        ("psi", "kPa", "6.894757293168361", 16),
        ("psi", "bar", "0.06894757", 7),
        ("hp", "W", "745.6998715822702", 16),
    ],
)
def test_a_published_rounded_factor_is_the_exact_one_rounded(symbol, other, factor, digits):
    """NIST SP 811, appendix B.8, to every digit printed."""
    assert decimal_text(Measured(Fraction(1), unit(symbol)).in_unit(unit(other)), digits) == factor


# UCUM essence table: definitions of the customary units.
@pytest.mark.parametrize(
    ("symbol", "ucum"),
    [
        ("N·m", "N.m"),
        ("kPa", "kPa"),
        ("bar", "bar"),
        ("°C", "Cel"),
        ("°F", "[degF]"),
        ("psi", "[psi]"),
        ("lbf", "[lbf_av]"),
        ("ft", "[ft_i]"),
        ("in", "[in_i]"),
        ("hp", "[HP]"),
        ("US gal", "[gal_us]"),
        ("L", "L"),
        ("mL", "mL"),
        ("°", "deg"),
        ("%", "%"),
        ("V", "V"),
        ("h", "h"),
        ("ha", "har"),
    ],
)
def test_a_unit_carries_its_code_for_exchange(symbol, ucum):
    """The Unified Code for Units of Measure, ucum-essence."""
    assert unit(symbol).ucum == ucum


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [
        (Fraction(32), Fraction(0)),
        (Fraction(212), Fraction(100)),
        (Fraction(-40), Fraction(-40)),
        (Fraction(80), Fraction(80, 3)),
    ],
)
def test_fahrenheit_is_shifted_and_scaled(fahrenheit, celsius):
    """NIST SP 811: (t - 32) / 1.8."""
    assert Measured(fahrenheit, unit("°F")).canonical() == celsius


def test_zero_celsius_is_273_15_kelvin():
    """NIST SP 811."""
    assert Measured(Fraction(0), unit("°C")).si() == Fraction("273.15")


def test_a_difference_of_temperature_is_scaled_only():
    """UCUM: degF is affine, and an uncertainty of 9 °F is 5 K."""
    assert Measured(Fraction(9), unit("°F")).span_si() == 5


def test_half_a_turn_is_pi_radians():
    """The first 30 decimals of pi as tabulated."""
    assert (
        decimal_text(Measured(Fraction(180), unit("°")).si(), 31)
        == "3.14159265358979323846264338328"
    )


def test_six_inches_and_152_millimetres_are_told_apart():
    """NIST SP 811: 6 in are 152.4 mm."""
    assert Measured(Fraction(6), unit("in")).canonical() == Fraction("152.4")


@pytest.mark.parametrize(
    ("slope", "other", "value"),
    [("in/ft", "mm/m", "83.333"), ("in/ft", "% grade", "8.3333"), ("mm/m", "in/ft", "0.012")],
)
def test_slopes_convert(slope, other, value):
    """One inch in a foot is one in twelve: arithmetic."""
    digits = len(value.replace(".", "").lstrip("0"))
    assert decimal_text(Measured(Fraction(1), unit(slope)).in_unit(unit(other)), digits) == value


def test_540_a_minute_are_nine_a_second():
    """Arithmetic."""
    assert Measured(Fraction(540), unit("rpm")).si() == 9


def test_a_torque_is_not_given_in_psi():
    """Converting between quantities is refused by name."""
    with pytest.raises(OtherQuantityError, match=r"N·m is a unit of torque and psi of pressure"):
        Measured(Fraction(1), unit("N·m")).in_unit(unit("psi"))


def test_an_unknown_unit_is_named_with_the_known_ones():
    """The message says what may be written instead."""
    with pytest.raises(UnknownUnitError, match=r"^There is no unit “furlong”\. The units are: m,"):
        unit("furlong")


def test_an_unknown_quantity_is_named_with_the_known_ones():
    """The message says what may be written instead."""
    with pytest.raises(UnknownUnitError, match=r"no quantity “luck”\. The quantities are: length"):
        canonical("luck")


def test_plain_powers_stand_for_raised_ones():
    """Rules write m^3 for their results."""
    assert (unit("m^3"), unit("m^2/s")) == (unit("m³"), unit("m²/s"))


@pytest.mark.parametrize(
    ("quantity", "symbol"),
    [
        ("length", "mm"),
        ("torque", "N·m"),
        ("pressure", "kPa"),
        ("volume", "L"),
        ("mass", "kg"),
        ("force", "N"),
        ("angle", "°"),
        ("rotation", "rpm"),
        ("speed", "m/s"),
        ("temperature", "°C"),
        ("power", "kW"),
        ("time", "s"),
        ("viscosity", "mm²/s"),
        ("voltage", "V"),
        ("ratio", "1"),
        ("count", "count"),
    ],
)
def test_the_unit_of_the_record(quantity, symbol):
    """House rule: one unit a quantity in storage."""
    assert canonical(quantity) == unit(symbol)


def test_every_symbol_names_one_unit():
    """No two units are shown alike, so a shown value can be typed again."""
    assert len(UNITS) == sum(len(each.units) for each in QUANTITIES.values())


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_the_si_unit_has_factor_one(quantity):
    """SI in, SI out."""
    assert (si(quantity).factor, si(quantity).offset) == (1, 0)


@given(value=numbers, one=units, data=st.data())
def test_a_value_survives_any_conversion_and_back(value, one, data):
    """Exact arithmetic loses nothing."""
    other = data.draw(st.sampled_from(QUANTITIES[one.quantity].units))
    there = Measured(value, one).in_unit(other)
    assert Measured(there, other).in_unit(one) == value
    assert Measured(there, other).si() == Measured(value, one).si()


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
def test_a_decimal_becomes_the_published_fraction(value, denominator, text):
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
def test_whole_mixed_and_negative_fractions(value, text):
    """Mixed numbers carry; what rounds to nothing has no sign."""
    assert fraction_text(Fraction(value)) == text


@given(st.integers(-(10**5), 10**5), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_a_workshop_fraction_is_written_exactly(parts, denominator):
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
def test_decimal_text_is_plain_and_rounds_half_to_even(value, text):
    """Twelve significant digits, no exponent."""
    assert decimal_text(value) == text


@given(
    st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-9999, max_value=9999)
)
def test_a_short_decimal_is_written_exactly(value):
    """Nothing that fits is altered."""
    assert Fraction(decimal_text(Fraction(value))) == Fraction(value)


@given(numbers)
def test_decimal_text_is_within_half_a_unit_of_its_last_digit(value):
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
    ],
)
def test_a_typed_value_is_shown_unaltered(value, symbol, text):
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
def test_a_computed_value_is_shown_with_four_digits(value, symbol, other, text):
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
def test_a_value_is_shown_to_a_step(value, symbol, step, text):
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
def test_a_rules_answer_becomes_the_number_meant(value, symbol, exact):
    """A float's error does not reach the record; 14 in are 355.6 mm (NIST SP 811)."""
    assert from_si(value, unit(symbol)) == Measured(Fraction(exact), unit(symbol))


@given(one=units, value=st.decimals(min_value="0.001", max_value=99999, places=3))
def test_a_value_in_any_unit_survives_a_rules_float(one: Unit, value):
    """Up to eight digits come back from SI floats exactly."""
    measured = Measured(Fraction(value), one)
    assert from_si(float(measured.si()), one) == measured


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_a_number_is_not_shown(value):
    """A rule that overflowed must not become a reading."""
    with pytest.raises(ValueError, match="is not a number that can be shown in mm"):
        from_si(value, unit("mm"))
