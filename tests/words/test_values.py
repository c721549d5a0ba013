"""Readings and limits in the units people use: rounded, and never across a limit."""

from fractions import Fraction
from typing import Final

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.record.unit.frozen_limit import Computation, FrozenLimit, StatedBound, StatedLimit
from prep.rules.quantities.quantity import UNITS, Measured, Unit, decimal_text
from prep.words.reader import ENGLISH, Reader
from prep.words.unit.limits import limit_text
from prep.words.unit.values import shown_value, uncertainty_text

METRIC: Final = Reader(units="metric")
COMMA: Final = Reader(decimal_comma=True)


def measured(text: str) -> Measured:
    """`640 N·m` as a value."""
    number, symbol = text.split(" ", 1)
    return Measured(Fraction(number), UNITS[symbol])


def limit(low: str, high: str, symbol: str) -> FrozenLimit:
    """A limit between two numbers in a unit."""
    unit = UNITS[symbol]
    return FrozenLimit(
        source="Set-up manual (invented)",
        basis="maker",
        low=in_record(low, unit),
        high=in_record(high, unit),
        quantity=unit.quantity,
        stated=StatedLimit(
            at_least=StatedBound(low, symbol) if low else None,
            at_most=StatedBound(high, symbol) if high else None,
        ),
    )


def in_record(number: str, unit: Unit) -> str:
    """A number in the unit of the record; empty where there is none."""
    return decimal_text(Measured(Fraction(number), unit).canonical(), 20) if number else ""


@pytest.mark.parametrize(
    ("typed", "held", "stated", "beside", "limit_beside"),
    [
        ("148 ft·lbf", ("138", "162", "ft·lbf"), "148 ft·lbf", "201 N·m", "187 N·m to 220 N·m"),
        ("640 N·m", ("427.5", "472.5", "ft·lbf"), "472 ft·lbf", "", "580 N·m to 641 N·m"),
        ("324.2 mm", ("12.5", "13", "in"), "12 3/4 in", "", "318 mm to 330 mm"),
        ("0.127 mm", ("", "0.01", "in"), "0.005 in", "", "at most 0.254 mm"),
        ("12.4 mph", ("", "18", "mph"), "12.4 mph", "20 km/h", "at most 29 km/h"),
        ("540 rpm", ("540", "540", "rpm"), "540 rpm", "", ""),
        ("64 °F", None, "64 °F", "17.8 °C", ""),
        ("1.5 bar", None, "21.8 psi", "", ""),
    ],
)
def test_a_reading_stands_in_the_unit_of_its_limit_and_in_the_other_system(
    typed: str, held: tuple[str, str, str] | None, stated: str, beside: str, limit_beside: str
) -> None:
    """Shop units where there is no limit; what was typed is exact, what is converted is rounded."""
    shown = shown_value(measured(typed), limit(*held) if held else None, ENGLISH)
    assert (shown.stated, shown.beside, shown.limit_beside) == (stated, beside, limit_beside)


def test_a_metric_reader_gets_metric_units_where_no_limit_states_one() -> None:
    """And his own decimal mark."""
    assert shown_value(measured("64 °F"), None, METRIC).stated == "17.8 °C"
    assert shown_value(measured("12.5 mph"), None, COMMA).stated == "12,5 mph"


@pytest.mark.parametrize(
    ("typed", "stated"),
    [("219.8 N·m", "162.1 ft·lbf"), ("219.5 N·m", "162 ft·lbf"), ("186.8 N·m", "137.8 ft·lbf")],
)
def test_a_reading_just_beyond_a_limit_does_not_look_as_if_it_were_within(
    typed: str, stated: str
) -> None:
    """To three digits 219.8 N·m would be 162 ft·lbf, the limit itself: it gets a fourth."""
    assert shown_value(measured(typed), limit("138", "162", "ft·lbf"), ENGLISH).stated == stated


def test_a_limit_in_the_unit_typed_is_rounded_no_further_than_its_reading_allows() -> None:
    """219.8 N·m is out of 219.64 N·m, and not of 220 N·m."""
    shown = shown_value(measured("219.8 N·m"), limit("138", "162", "ft·lbf"), ENGLISH)
    assert shown.limit_beside == "187.1 N·m to 219.6 N·m"


@given(
    value=st.fractions(min_value=100, max_value=300, max_denominator=1000),
    low=st.integers(100, 150),
    width=st.integers(1, 60),
)
def test_no_rounding_carries_a_reading_across_its_limit(
    value: Fraction, low: int, width: int
) -> None:
    """The shown number is within the limit as stated exactly if the reading is."""
    high = low + width
    shown = shown_value(
        Measured(value, UNITS["N·m"]), limit(str(low), str(high), "ft·lbf"), ENGLISH
    )
    exact = Measured(value, UNITS["N·m"]).in_unit(UNITS["ft·lbf"])
    number = Fraction(shown.stated.removesuffix(" ft·lbf"))
    assert (low <= number <= high) == (low <= exact <= high)
    assert abs(number - exact) <= Fraction(1, 2)


@pytest.mark.parametrize(
    ("expanded", "symbol", "text"),
    [
        ("7.125 N·m", "N·m", "±7.2 N·m"),
        ("7.125 N·m", "ft·lbf", "±5.3 ft·lbf"),
        ("14.18 N·m", "N·m", "±15 N·m"),
        ("6.95 N·m", "N·m", "±7.0 N·m"),
        ("0.01867 mm", "mm", "±0.019 mm"),
        ("445.1 kPa", "kPa", "±450 kPa"),
        ("0.0996 mm", "mm", "±0.10 mm"),
        ("1.156 °C", "°F", "±2.1 °F"),
        ("0 mm", "mm", ""),
    ],
)
def test_an_uncertainty_has_two_significant_digits_and_is_never_too_small(
    expanded: str, symbol: str, text: str
) -> None:
    """JCGM 100:2008, 7.2.6; by hand: 1.156 K are 2.0808 °F, and up that is 2.1."""
    assert uncertainty_text(measured(expanded), UNITS[symbol], ENGLISH) == text


def test_a_computed_limit_is_read_as_its_gauge_and_a_stated_one_is_as_stated() -> None:
    """39.588 psi or 809.1 rpm from a rule are 39.6 and 809; 14.375 psi from a manual stays."""
    kpa = in_record("39.5878912", UNITS["psi"])
    around = StatedLimit(nominal=StatedBound("39.5878912", "psi"), plus="2", minus="2")
    computed = FrozenLimit(
        source="", basis="maker", low=kpa, high=kpa, quantity="pressure", stated=around
    )
    assert limit_text(computed, ENGLISH) == "39.6 ± 2 psi"
    spindle = msgspec.structs.replace(
        limit("792.918", "825.282", "rpm"),
        stated=StatedLimit(nominal=StatedBound("809.1", "rpm"), plus="16.182", minus="16.182"),
    )
    assert limit_text(spindle, ENGLISH) == "809.1 ± 16.182 rpm"
    by_rule = msgspec.structs.replace(spindle, computed=Computation("speed.blade_tip", {}, "809.1"))
    assert limit_text(by_rule, ENGLISH) == "809 ± 16.2 rpm"
    assert limit_text(limit("14.375", "", "psi"), ENGLISH) == "at least 14.375 psi"
