"""Decisions at a limit: published guard bands, the instrument needed, and what must always hold."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.conformity.guard_bands import (
    acceptance,
    accuracy_needed,
    capability,
    guard_factor,
    guard_risk,
    probability,
    uncertainty_for_capability,
    uncertainty_for_risk,
)
from prep.rules.conformity.uncertainty import instrument_uncertainty


@pytest.mark.parametrize(("factor", "below"), [(3, 1e-6), (1.5, 0.0016), (1, 0.025), (0.83, 0.05)])
def test_each_row_of_the_guard_band_table_keeps_its_promise(factor: float, below: float) -> None:
    """ILAC-G8:09/2019: 6 sigma, 3 sigma, G8:2009 and ISO 14253-1 (layout from memory)."""
    assert guard_risk(factor) < below


@pytest.mark.parametrize(
    ("factor", "risk"),
    [
        (0, 0.5),
        (0.5, 0.15865525393145707),
        (0.83, 0.04845722626672282),
        (1, 0.022750131948179195),
        (1.5, 0.0013498980316300933),
        (3, 9.865876450376946e-10),
    ],
)
def test_the_risk_at_the_acceptance_limit_is_exact_far_into_the_tail(
    factor: float, risk: float
) -> None:
    """ILAC-G8:09/2019 table, exact values of the normal distribution."""
    assert guard_risk(factor) == pytest.approx(risk, rel=1e-12, abs=0)


@pytest.mark.parametrize(
    ("risk", "factor"), [(0.05, 0.822427), (0.025, 0.979982), (0.01, 1.163174)]
)
def test_a_wanted_risk_gives_its_guard_factor(risk: float, factor: float) -> None:
    """ISO 14253-1:2017 prints 0.83 for 5 %, rounded up; the others by the same formula."""
    assert guard_factor(risk) == pytest.approx(factor, abs=5e-7)


def test_a_speed_is_acted_on_from_107_under_a_limit_of_100() -> None:
    """JCGM 106:2012, 8.3.3.2 example 1: u = 2 % of the speed, 99.9 % sure (value from memory)."""
    factor = guard_factor(0.001)
    speed = 100 / (1 - 0.02 * 2 * factor)
    assert speed == pytest.approx(106.5876094853783, rel=1e-12)
    assert math.ceil(speed) == 107
    assert probability(speed, 0.02 * speed, high=100.0) == pytest.approx(0.001, rel=1e-9)


def test_oil_viscosity_conforms_with_probability_066() -> None:
    """JCGM 106:2012, 7.4."""
    assert round(probability(13.6, 1.8, 12.5, 16.3), 2) == 0.66


def test_acceptance_between_close_limits_is_the_two_sided_one() -> None:
    """Limits 0 and 10, u = 2.4, wanted 0.95 (computed from JCGM 106:2012, 7.4)."""
    accepted = acceptance(2.4, 0.95, 0.0, 10.0)
    assert accepted.decidable
    assert accepted.high == pytest.approx(5.874520970505261, abs=1e-9)
    assert accepted.low == pytest.approx(10 - 5.874520970505261, abs=1e-9)


def test_an_instrument_that_cannot_decide_is_said_to() -> None:
    """Limits 0 and 10, u = 2.56, wanted 0.95: none (computed from JCGM 106:2012, 7.4)."""
    accepted = acceptance(2.56, 0.95, 0.0, 10.0)
    assert (accepted.decidable, accepted.low, accepted.high) == (False, None, None)


def test_one_limit_leaves_the_other_side_open() -> None:
    """JCGM 106:2012, table 1: 1.6449 u for 95 %."""
    accepted = acceptance(1.0, 0.95, low=0.0)
    assert accepted.high is None
    assert accepted.low == pytest.approx(1.6449, abs=5e-5)


@pytest.mark.parametrize(
    ("uncertainty", "index"), [(0.5, 5), (1, 2.5), (2, 1.25), (2.4, 1.042), (2.5, 1.0), (3, 0.833)]
)
def test_capability_of_a_tolerance_of_ten(uncertainty: float, index: float) -> None:
    """Cm = T / (4 u), JCGM 106:2012, 7.6.3 (value from memory)."""
    assert capability(0.0, 10.0, 2 * uncertainty) == pytest.approx(index, abs=5e-4)


def test_the_largest_uncertainty_by_risk_is_where_the_acceptance_interval_vanishes() -> None:
    """Limits 0 and 10, 95 %: between u = 2.54 and 2.56 (computed from JCGM 106:2012, 7.4)."""
    largest = uncertainty_for_risk(5.0, 0.05, both_sides=True)
    assert 2.54 < largest / 2 < 2.56
    assert acceptance(largest / 2 * 0.999999, 0.95, 0.0, 10.0).decidable
    assert not acceptance(largest / 2 * 1.000001, 0.95, 0.0, 10.0).decidable


@pytest.mark.parametrize(("risk", "deviations"), [(0.05, 1.6449), (0.01, 2.3263)])
def test_one_limit_allows_the_tabled_share_of_the_room(risk: float, deviations: float) -> None:
    """JCGM 106:2012, table 1."""
    assert uncertainty_for_risk(deviations, risk) == pytest.approx(2.0, abs=1e-4)


def test_limits_in_the_wrong_order_are_refused() -> None:
    """In every rule that takes two."""
    for name, inputs in (
        ("decision.capability", {"expanded_uncertainty": 1.0}),
        ("decision.uncertainty_for_capability", {}),
        ("decision.probability", {"value": 1.0, "standard_uncertainty": 1.0}),
        ("decision.acceptance", {"standard_uncertainty": 1.0}),
    ):
        with pytest.raises(RuleRefusal, match="limits-swapped") as refusal:
            RULES[name](low=2.0, high=1.0, **inputs)
        assert refusal.value.field == "low"


def test_a_decision_needs_a_limit() -> None:
    """Neither limit given."""
    with pytest.raises(RuleRefusal, match="no-limit"):
        probability(1.0, 1.0)


def test_a_resolution_too_coarse_for_the_wanted_uncertainty_is_named() -> None:
    """U = 1 needs steps finer than sqrt(3) whatever the accuracy (arithmetic)."""
    with pytest.raises(RuleRefusal, match=r"resolution-too-coarse .*1\.732") as refusal:
        accuracy_needed(100.0, 1.0, 2.0)
    assert refusal.value.field == "resolution"


@given(st.floats(1e-9, 0.499))
def test_a_guard_factor_leaves_the_risk_it_was_asked_for(risk: float) -> None:
    """The two rules are each other's inverse."""
    assert guard_risk(guard_factor(risk)) == pytest.approx(risk, rel=1e-6)


@given(st.floats(1, 1e6), st.floats(0.01, 20), st.floats(0, 1e-3))
@settings(max_examples=100)
def test_an_instrument_of_the_accuracy_needed_has_the_wanted_uncertainty(
    reading: float, percent: float, step: float
) -> None:
    """From accuracy to uncertainty and back."""
    resolution = step * reading * percent
    wanted = instrument_uncertainty(reading, percent_of_reading=percent, resolution=resolution)
    assert accuracy_needed(reading, wanted, resolution) == pytest.approx(percent, rel=1e-9)


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(0.2, 50))
@settings(max_examples=100)
def test_the_uncertainty_for_a_capability_has_that_capability(
    low: float, width: float, index: float
) -> None:
    """The two rules are each other's inverse."""
    allowed = uncertainty_for_capability(low, low + width, index)
    assert capability(low, low + width, allowed) == pytest.approx(index, rel=1e-9)
