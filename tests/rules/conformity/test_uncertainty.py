"""Uncertainty of a reading: published end-gauge examples, tools, and what must always hold."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.conformity.uncertainty import (
    certificate,
    combined,
    degrees_of_freedom,
    expanded,
    instrument_uncertainty,
    rectangular,
    resolution,
    triangular,
    u_shaped,
)

END_GAUGE = (25.0, 9.7, 2.9, 16.6)
END_GAUGE_FREEDOMS = (18.0, 25.6, 50.0, 2.0)

amounts = st.floats(0, 1e6)


def test_type_b_components_divide_by_the_root_their_shape_asks_for() -> None:
    """JCGM 100:2008, 4.3.7, 4.3.9, H.1.3.4 and F.2.2.1 with a = 0.5 and d = 0.01."""
    assert rectangular(0.5) == pytest.approx(0.28867513459481287, rel=1e-14)
    assert triangular(0.5) == pytest.approx(0.20412414523193154, rel=1e-14)
    assert u_shaped(0.5) == pytest.approx(0.35355339059327373, rel=1e-14)
    assert resolution(0.01) == pytest.approx(0.002886751345948129, rel=1e-14)
    assert certificate(0.3) == 0.15


def test_end_gauge_combines_to_32_nanometers() -> None:
    """JCGM 100:2008, H.1.4: published 32 nm from four components."""
    assert combined(END_GAUGE) == pytest.approx(31.67112249352713, rel=1e-14)
    assert round(combined(END_GAUGE)) == 32


def test_end_gauge_keeps_16_degrees_of_freedom() -> None:
    """JCGM 100:2008, H.1.6: 16.7 is cut, not rounded, to 16."""
    assert degrees_of_freedom(END_GAUGE, END_GAUGE_FREEDOMS) == 16.0


def test_end_gauge_expands_to_93_nanometers() -> None:
    """JCGM 100:2008, H.1.6: k99 = 2.92 at 16 degrees of freedom, uc = 32 nm, U = 93 nm."""
    assert round(expanded(32.0, 2.92)) == 93


def test_repeated_readings_of_the_end_gauge_come_to_9_7_nanometers() -> None:
    """JCGM 100:2008, H.1.3.2: 5.8, 3.9 and 6.7 nm give 9.7 nm."""
    assert round(combined((5.8, 3.9, 6.7)), 1) == 9.7


def test_end_gauge_with_second_order_terms_combines_to_34_nanometers() -> None:
    """NIST TN 1297, appendix D: nine components."""
    components = (25.0, 5.8, 3.9, 6.7, 1.7, 5.8, 10.2, 2.9, 16.6)
    assert combined(components) == pytest.approx(33.81242375222457, rel=1e-14)
    assert round(combined(components)) == 34


def test_an_instrument_has_accuracy_resolution_and_calibration_in_its_uncertainty() -> None:
    """±0.5, steps of 0.1, certificate U = 0.3 (arithmetic of the GUM clauses)."""
    expanded_uncertainty = instrument_uncertainty(
        20.0, absolute=0.5, resolution=0.1, certificate_u=0.3
    )
    assert expanded_uncertainty == pytest.approx(0.6531972647421809, rel=1e-14)


def test_a_four_percent_torque_wrench_at_100_is_known_to_4_over_root_3_twice() -> None:
    """Setting wrench above 10 N·m, ISO 6789: ±4 % of the reading; half-width 4 N·m."""
    assert instrument_uncertainty(100.0, percent_of_reading=4.0) == pytest.approx(
        2 * rectangular(4.0), rel=1e-14
    )


def test_a_gauge_of_accuracy_by_scale_is_as_uncertain_low_as_high() -> None:
    """A gauge stated ±1 % of full scale, scale 250: ±2.5 anywhere (common practice)."""
    for reading in (10.0, 125.0, 250.0):
        assert instrument_uncertainty(reading, percent_of_scale=1.0, scale=250.0) == pytest.approx(
            2 * rectangular(2.5), rel=1e-14
        )


def test_the_parts_of_one_accuracy_statement_add_up() -> None:
    """±(1 % of reading + 0.5 % of scale + 0.2): 1 + 1 + 0.2 at once (common practice)."""
    assert instrument_uncertainty(100.0, 1.0, 0.5, 200.0, 0.2) == pytest.approx(
        2 * rectangular(2.2), rel=1e-14
    )


def test_an_instrument_without_stated_accuracy_adds_nothing() -> None:
    """Zero is zero and nothing is divided by it."""
    assert instrument_uncertainty(20.0) == 0.0


def test_a_share_of_the_scale_needs_the_scale() -> None:
    """The refusal names the field and what to do."""
    with pytest.raises(RuleRefusal, match="scale-missing") as refusal:
        instrument_uncertainty(20.0, percent_of_scale=1.0)
    assert refusal.value.field == "scale"


def test_degrees_of_freedom_need_one_for_each_component() -> None:
    """The refusal counts both."""
    with pytest.raises(RuleRefusal, match="components=2, freedoms=1") as refusal:
        degrees_of_freedom((1.0, 2.0), (3.0,))
    assert refusal.value.field == "freedoms"


def test_components_of_nothing_have_no_degrees_of_freedom() -> None:
    """All components 0: refused, not divided by zero."""
    with pytest.raises(RuleRefusal, match="no-component"):
        degrees_of_freedom((0.0, 0.0), (3.0, 4.0))


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, 1e13])
def test_an_accuracy_that_cannot_be_is_refused_by_name(bad: float) -> None:
    """Negative, missing or endless accuracy."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["uncertainty.instrument"](reading=1.0, absolute=bad)
    assert refusal.value.field == "absolute"


@given(amounts, st.floats(1, 1e6))
def test_one_component_keeps_its_own_degrees_of_freedom(component: float, freedom: float) -> None:
    """Welch-Satterthwaite with one term is that term (JCGM 100:2008, G.4.1)."""
    if component > 0:
        assert degrees_of_freedom((component,), (freedom,)) == float(math.floor(freedom))


@given(st.lists(st.floats(1e-3, 1e3), min_size=1, max_size=6), st.data())
@settings(max_examples=100)
def test_effective_degrees_of_freedom_lie_between_the_smallest_and_the_sum(
    components: list[float], data: st.DataObject
) -> None:
    """JCGM 100:2008, G.4.1."""
    freedoms = [data.draw(st.floats(1, 200)) for _ in components]
    effective = degrees_of_freedom(tuple(components), tuple(freedoms))
    assert math.floor(min(freedoms)) <= effective <= sum(freedoms) * (1 + 1e-12)


@given(st.lists(amounts, min_size=1, max_size=6), amounts)
@settings(max_examples=100)
def test_one_more_component_never_makes_a_reading_better_known(
    components: list[float], extra: float
) -> None:
    """Combination only grows, in any order (JCGM 100:2008, 5.1.2)."""
    before = combined(tuple(components))
    after = combined((extra, *components))
    assert after >= before * (1 - 1e-14)
    assert after == pytest.approx(combined((*components, extra)), rel=1e-14, abs=1e-300)


@given(
    st.floats(-1e4, 1e4),
    st.floats(0, 10),
    st.floats(0, 10),
    st.floats(0, 1e3),
    st.floats(0, 1e3),
    st.sampled_from((0.0254, 6894.757293168361, 1.3558179483314004)),
)
@settings(max_examples=100)
def test_an_instrument_is_as_uncertain_in_one_unit_as_in_another(
    reading: float, of_reading: float, of_scale: float, absolute: float, step: float, unit: float
) -> None:
    """Inches, psi and lbf·ft: converting the inputs converts the result."""
    here = instrument_uncertainty(reading, of_reading, of_scale, 1e4, absolute, step)
    there = instrument_uncertainty(
        reading * unit, of_reading, of_scale, 1e4 * unit, absolute * unit, step * unit
    )
    assert there == pytest.approx(here * unit, rel=1e-12, abs=1e-300)
