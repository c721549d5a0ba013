"""The uncertainty of an instrument at a value: exact, in one unit, rounded up once."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import expanded_uncertainty, uncertainty_at_limits
from prep.rules.conformity.judgment import AtLimits, DecisionRule, Interval, judge
from prep.rules.conformity.uncertainty import instrument_uncertainty, root_rounded_up

WRENCH = InstrumentFacts("W", "torque wrench", "Wrench", "torque", percent_of_reading="4")
GUARDED = DecisionRule("guarded")
fractions = st.fractions(Fraction(1, 10**9), 10**9)


def test_a_share_of_the_reading_is_wider_at_the_upper_limit() -> None:
    """±4 % at 85 and 100 N·m: U = 2 a / sqrt(3), JCGM 100:2008, 4.3.7, rounded up at the 4th digit.

    a = 3.4 gives 3.92598..., a = 4 gives 4.61880...
    """
    limits = Interval(Fraction(85), Fraction(100))
    assert uncertainty_at_limits(WRENCH, limits) == AtLimits(Fraction("3.926"), Fraction("4.619"))


def test_a_limit_that_is_open_and_a_tool_that_is_none_add_nothing() -> None:
    """At least 85, and no tool named."""
    at_least = Interval(Fraction(85), None)
    assert uncertainty_at_limits(WRENCH, at_least) == AtLimits(Fraction("3.926"), Fraction(0))
    assert uncertainty_at_limits(None, at_least) == AtLimits.same(Fraction(0))


def test_the_guard_band_does_not_move_with_what_was_read() -> None:
    """A device knows both bands before anything is typed (ISO 14253-1:2017, factor 0.83)."""
    limits = Interval(Fraction(85), Fraction(100))
    at_limits = uncertainty_at_limits(WRENCH, limits)
    bands = {
        judge(
            Fraction(value),
            limits,
            GUARDED,
            expanded_uncertainty(WRENCH, Fraction(value)),
            at_limits,
        ).guard_bands
        for value in range(60, 130)
    }
    assert bands == {AtLimits(Fraction("3.25858"), Fraction("3.83377"))}


@pytest.mark.parametrize(
    ("square", "digits", "root"),
    [
        ("2", 4, "1.415"),
        ("4", 4, "2"),
        ("0.0001", 4, "0.01"),
        ("1000000", 4, "1000"),
        ("99999999", 4, "10000"),
        ("0.00000099", 2, "0.001"),
        ("10", 1, "4"),
        ("0", 4, "0"),
    ],
)
def test_a_root_is_rounded_up_and_only_where_it_must_be(
    square: str, digits: int, root: str
) -> None:
    """Square roots by hand: 1.41421..., 2, 0.01, 1000, 9999.99995, 0.000994987..., 3.16227..."""
    assert root_rounded_up(Fraction(square), digits) == Fraction(root)


@given(fractions, st.integers(1, 9))
def test_a_root_rounded_up_is_the_least_number_of_its_digits_that_is_no_smaller(
    square: Fraction, digits: int
) -> None:
    """One step less in its last digit would be too small."""
    root = root_rounded_up(square, digits)
    size = math.floor(math.log10(float(root)) + 1e-12)
    step = Fraction(10) ** (size - digits + 1)
    assert (root / step).denominator == 1 or root == Fraction(10) ** size
    assert root**2 >= square
    assert (root - step) ** 2 < square


@given(
    st.fractions(-500, 500, max_denominator=1000),
    st.sampled_from(["", "0.5", "4"]),
    st.sampled_from(["", "1", "1.5"]),
    st.sampled_from(["", "0.3 N·m", "1 ft·lbf"]),
    st.sampled_from(["", "0.1 N·m", "0.5 ft·lbf"]),
)
def test_it_agrees_with_the_rule_of_the_catalog(
    value: Fraction, of_reading: str, of_scale: str, absolute: str, resolution: str
) -> None:
    """The same formula in floats; one rounding up at the fourth digit adds at most a thousandth."""
    foot_pound = 1.3558179483314004
    in_newtons = {"": 0.0, "0.3 N·m": 0.3, "1 ft·lbf": foot_pound}[absolute]
    division = {"": 0.0, "0.1 N·m": 0.1, "0.5 ft·lbf": foot_pound / 2}[resolution]
    tool = InstrumentFacts(
        "T",
        "torque wrench",
        "Tool",
        "torque",
        high="600 N·m",
        percent_of_reading=of_reading,
        percent_of_scale=of_scale,
        absolute=absolute,
        resolution=resolution,
    )
    by_rule = instrument_uncertainty(
        float(value),
        float(of_reading or 0),
        float(of_scale or 0),
        600.0,
        in_newtons,
        division,
    )
    exact = float(expanded_uncertainty(tool, value))
    assert by_rule * (1 - 1e-12) <= exact <= by_rule * 1.001 + 1e-12


def test_a_share_of_a_temperature_is_of_degrees_celsius() -> None:
    """±1 % at 100 °C is ±1 °C, and not ±3.7 of kelvins: U = 2 / sqrt(3) = 1.15470..."""
    probe = InstrumentFacts("P", "thermometer", "Probe", "temperature", percent_of_reading="1")
    assert expanded_uncertainty(probe, Fraction(100)) == Fraction("1.155")
