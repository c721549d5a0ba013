"""Units convert exactly between each other."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.quantities.quantity import (
    QUANTITIES,
    UNITS,
    Measured,
    OtherQuantityError,
    Unit,
    UnknownUnitError,
    canonical,
    decimal_text,
    si,
    unit,
)

many = settings(max_examples=100, derandomize=True)
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
def test_a_published_factor_is_exact(symbol: str, other: str, factor: str) -> None:
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
def test_a_published_rounded_factor_is_the_exact_one_rounded(
    symbol: str, other: str, factor: str, digits: int
) -> None:
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
def test_a_unit_carries_its_code_for_exchange(symbol: str, ucum: str) -> None:
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
def test_fahrenheit_is_shifted_and_scaled(fahrenheit: Fraction, celsius: Fraction) -> None:
    """NIST SP 811: (t - 32) / 1.8."""
    assert Measured(fahrenheit, unit("°F")).canonical() == celsius


def test_zero_celsius_is_273_15_kelvin() -> None:
    """NIST SP 811."""
    assert Measured(Fraction(0), unit("°C")).si() == Fraction("273.15")


def test_a_difference_of_temperature_is_scaled_only() -> None:
    """UCUM: degF is affine, and an uncertainty of 9 °F is 5 K."""
    assert Measured(Fraction(9), unit("°F")).span_si() == 5


def test_half_a_turn_is_pi_radians() -> None:
    """The first 30 decimals of pi as tabulated."""
    assert (
        decimal_text(Measured(Fraction(180), unit("°")).si(), 31)
        == "3.14159265358979323846264338328"
    )


def test_six_inches_and_152_millimeters_are_told_apart() -> None:
    """NIST SP 811: 6 in are 152.4 mm."""
    assert Measured(Fraction(6), unit("in")).canonical() == Fraction("152.4")


@pytest.mark.parametrize(
    ("slope", "other", "value"),
    [("in/ft", "mm/m", "83.333"), ("in/ft", "% grade", "8.3333"), ("mm/m", "in/ft", "0.012")],
)
def test_slopes_convert(slope: str, other: str, value: str) -> None:
    """One inch in a foot is one in twelve: arithmetic."""
    digits = len(value.replace(".", "").lstrip("0"))
    assert decimal_text(Measured(Fraction(1), unit(slope)).in_unit(unit(other)), digits) == value


def test_540_a_minute_are_nine_a_second() -> None:
    """Arithmetic."""
    assert Measured(Fraction(540), unit("rpm")).si() == 9


def test_a_torque_is_not_given_in_psi() -> None:
    """Converting between quantities is refused by name."""
    with pytest.raises(OtherQuantityError, match=r"N·m is a unit of torque and psi of pressure"):
        Measured(Fraction(1), unit("N·m")).in_unit(unit("psi"))


def test_an_unknown_unit_is_named_with_the_known_ones() -> None:
    """The message says what may be written instead."""
    with pytest.raises(UnknownUnitError, match=r"^There is no unit “furlong”\. The units are: m,"):
        unit("furlong")


def test_an_unknown_quantity_is_named_with_the_known_ones() -> None:
    """The message says what may be written instead."""
    with pytest.raises(UnknownUnitError, match=r"no quantity “luck”\. The quantities are: length"):
        canonical("luck")


def test_plain_powers_stand_for_raised_ones() -> None:
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
def test_the_unit_of_the_record(quantity: str, symbol: str) -> None:
    """House rule: one unit a quantity in storage."""
    assert canonical(quantity) == unit(symbol)


def test_every_symbol_names_one_unit() -> None:
    """No two units are shown alike, so a shown value can be typed again."""
    assert len(UNITS) == sum(len(each.units) for each in QUANTITIES.values())


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_the_si_unit_has_factor_one(quantity: str) -> None:
    """SI in, SI out."""
    assert (si(quantity).factor, si(quantity).offset) == (Fraction(1), Fraction(0))


@many
@given(value=numbers, one=units, data=st.data())
def test_a_value_survives_any_conversion_and_back(
    value: Fraction, one: Unit, data: st.DataObject
) -> None:
    """Exact arithmetic loses nothing."""
    other = data.draw(st.sampled_from(QUANTITIES[one.quantity].units))
    there = Measured(value, one).in_unit(other)
    assert Measured(there, other).in_unit(one) == value
    assert Measured(there, other).si() == Measured(value, one).si()
