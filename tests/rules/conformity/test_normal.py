"""Standard normal distribution against its tables, and far into the tail."""

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.rules.conformity.normal import cumulative, quantile


@pytest.mark.parametrize(
    ("probability", "deviation"),
    [(0.80, 0.8416), (0.90, 1.2816), (0.95, 1.6449), (0.99, 2.3263), (0.999, 3.0902)],
)
def test_the_quantile_is_the_tabled_deviation(probability: float, deviation: float) -> None:
    """JCGM 106:2012, table 1; four digits after the point."""
    assert round(quantile(probability), 4) == deviation
    assert cumulative(deviation) == pytest.approx(probability, abs=1e-4)


@given(st.floats(-5.0, 5.0))
def test_it_is_the_distribution_of_the_standard_library(deviation: float) -> None:
    """Equal as long as the standard library has digits to compare."""
    assert cumulative(deviation) == pytest.approx(NormalDist().cdf(deviation), abs=1e-15)


@pytest.mark.parametrize(
    ("deviation", "probability"), [(-6.0, 9.865876450376946e-10), (-10.0, 7.619853024160525e-24)]
)
def test_the_lower_tail_keeps_its_digits(deviation: float, probability: float) -> None:
    """The standard library's own function has lost digits there, and answers 0 at -10."""
    assert cumulative(deviation) == pytest.approx(probability, rel=1e-12, abs=0)
    assert NormalDist().cdf(deviation) != pytest.approx(probability, rel=1e-12, abs=0)


def test_limits_infinitely_far_off_are_certain() -> None:
    """A limit so far off that the deviation overflows a float."""
    assert (cumulative(-math.inf), cumulative(math.inf)) == (0.0, 1.0)
