"""Decisions at a limit: published probabilities, exact ends, and what must always hold."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.conformity.judgment import (
    AtLimits,
    DecisionRule,
    Interval,
    Judgment,
    Verdict,
    conformance_probability,
    exact_acceptance,
    judge,
)

SIMPLE = DecisionRule("simple")
ISO_14253 = DecisionRule("guarded")
ILAC_2009 = DecisionRule("guarded", Fraction(1))
AT_MOST_100 = Interval(None, Fraction(100))
AT_LEAST_100 = Interval(Fraction(100), None)
ZERO_TO_TEN = Interval(Fraction(0), Fraction(10))

numbers = st.fractions(-1000, 1000, max_denominator=1000)
uncertainties = st.fractions(0, 200, max_denominator=1000)
guards = st.fractions(0, 3, max_denominator=100)
scales = st.fractions(Fraction(1, 10_000), 10_000).filter(lambda scale: scale > 0)


@st.composite
def intervals(draw: st.DrawFn) -> Interval:
    low, high = sorted((draw(numbers), draw(numbers)))
    side = draw(st.sampled_from(("both", "low", "high")))
    return Interval(None if side == "high" else low, None if side == "low" else high)


def exactly(text: str) -> Fraction:
    return Fraction(text)


# Published examples


def test_oil_viscosity_between_two_limits_conforms_with_probability_066() -> None:
    """JCGM 106:2012, 7.4: y = 13.6, u = 1.8, limits 12.5 and 16.3 mm²/s, published 0.66."""
    limits = Interval(exactly("12.5"), exactly("16.3"))
    probability = conformance_probability(exactly("13.6"), limits, exactly("1.8"))
    assert round(probability, 2) == 0.66
    assert probability == pytest.approx(0.6626297864953079, abs=1e-12)


def test_breakdown_voltage_below_an_upper_limit() -> None:
    """JCGM 106:2012, 7.3.3 example 1, about 0.92 (value from memory)."""
    upper = Interval(None, exactly("-5.40"))
    probability = conformance_probability(exactly("-5.47"), upper, exactly("0.05"))
    assert probability == pytest.approx(0.9192433407662273, abs=1e-12)


def test_burst_pressure_above_a_lower_limit() -> None:
    """JCGM 106:2012, 7.3.3 example 2, about 0.99 (value from memory)."""
    lower = Interval(exactly("490"), None)
    probability = conformance_probability(exactly("509.7"), lower, exactly("8.6"))
    assert probability == pytest.approx(0.9890095473848222, abs=1e-12)


@pytest.mark.parametrize(
    ("guard", "bound", "exact"),
    [
        ("3", 1e-6, 9.865876450376946e-10),
        ("1.5", 0.0016, 0.0013498980316300933),
        ("1", 0.025, 0.022750131948179195),
        ("0.83", 0.05, 0.04845722626672282),
    ],
)
def test_a_reading_on_the_acceptance_limit_is_wrong_no_more_often_than_the_table_says(
    guard: str, bound: float, exact: float
) -> None:
    """ILAC-G8:09/2019 guard-band table (layout of the table from memory)."""
    expanded = Fraction(2)
    rule = DecisionRule("guarded", exactly(guard))
    on_acceptance_limit = 100 - rule.guard_band(expanded)
    judgment = judge(on_acceptance_limit, AT_MOST_100, rule, expanded)
    assert judgment.verdict is Verdict.CONFORMING
    assert 1 - judgment.probability < bound
    assert 1 - judgment.probability == pytest.approx(exact, abs=1e-15)


@pytest.mark.parametrize(
    ("uncertainty", "upper"),
    [
        ("0.5", 9.177573186524256),
        ("1", 8.355146373048514),
        ("2", 6.702466952242504),
        ("2.4", 5.874520970505261),
        ("2.5", 5.5094681985095155),
        ("2.54", 5.2375173935397985),
    ],
)
def test_two_close_limits_leave_less_room_than_two_one_sided_guard_bands(
    uncertainty: str, upper: float
) -> None:
    """Limits 0 and 10, wanted 0.95 (computed from JCGM 106:2012, 7.4)."""
    acceptance = exact_acceptance(ZERO_TO_TEN, exactly(uncertainty), 0.95)
    assert acceptance is not None
    assert acceptance.high is not None
    assert acceptance.low is not None
    assert float(acceptance.high) == pytest.approx(upper, abs=1e-9)
    assert acceptance.low == 10 - acceptance.high


@pytest.mark.parametrize("uncertainty", ["2.56", "3"])
def test_an_instrument_too_coarse_for_the_limits_leaves_no_acceptance_interval(
    uncertainty: str,
) -> None:
    """Limits 0 and 10, wanted 0.95 (computed from JCGM 106:2012, 7.4)."""
    assert exact_acceptance(ZERO_TO_TEN, exactly(uncertainty), 0.95) is None
    judgment = judge(Fraction(5), ZERO_TO_TEN, ISO_14253, 2 * exactly(uncertainty))
    assert not judgment.decidable
    assert judgment.verdict is Verdict.CONFORMING_GUARD


@pytest.mark.parametrize(("value", "probability"), [("0", 0.5), ("0.5", 0.691462), ("1", 0.841345)])
def test_probability_climbs_from_a_half_at_the_limit(value: str, probability: float) -> None:
    """Limits 0 and 10, u = 1 (the standard normal table)."""
    computed = conformance_probability(exactly(value), ZERO_TO_TEN, Fraction(1))
    assert computed == pytest.approx(probability, abs=1e-6)


@pytest.mark.parametrize(
    ("target", "deviations"),
    [(0.80, 0.8416), (0.90, 1.2816), (0.95, 1.6449), (0.99, 2.3263), (0.999, 3.0902)],
)
def test_one_limit_needs_the_tabled_number_of_standard_uncertainties(
    target: float, deviations: float
) -> None:
    """JCGM 106:2012, table 1."""
    acceptance = exact_acceptance(AT_MOST_100, Fraction(1), target)
    assert acceptance is not None
    assert acceptance.high is not None
    assert float(100 - acceptance.high) == pytest.approx(deviations, abs=5e-5)


# The four states and the ends


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("98", Verdict.CONFORMING),
        ("98.000001", Verdict.CONFORMING_GUARD),
        ("100", Verdict.CONFORMING_GUARD),
        ("100.000001", Verdict.NONCONFORMING_GUARD),
        ("102", Verdict.NONCONFORMING_GUARD),
        ("102.000001", Verdict.NONCONFORMING),
    ],
)
def test_an_upper_limit_has_four_states_and_each_end_belongs_to_the_better_one(
    value: str, verdict: Verdict
) -> None:
    """ILAC-G8:09/2019, non-binary statement with guard band; w = U = 2."""
    assert judge(exactly(value), AT_MOST_100, ILAC_2009, Fraction(2)).verdict is verdict


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("102", Verdict.CONFORMING),
        ("101.999999", Verdict.CONFORMING_GUARD),
        ("100", Verdict.CONFORMING_GUARD),
        ("99.999999", Verdict.NONCONFORMING_GUARD),
        ("98", Verdict.NONCONFORMING_GUARD),
        ("97.999999", Verdict.NONCONFORMING),
    ],
)
def test_a_lower_limit_is_the_mirror_of_an_upper_one(value: str, verdict: Verdict) -> None:
    """ILAC-G8:09/2019 mirrored; w = U = 2."""
    assert judge(exactly(value), AT_LEAST_100, ILAC_2009, Fraction(2)).verdict is verdict


def test_a_torque_of_100_within_four_percent_holds_at_both_ends() -> None:
    """Setting wrench class, ISO 6789: 100 N·m ±4 % is 96.0 to 104.0 N·m (computed)."""
    limits = Interval(Fraction(96), Fraction(104))
    for value in (Fraction(96), Fraction(104)):
        assert judge(value, limits, SIMPLE, Fraction(1)).verdict is Verdict.CONFORMING
    for value in (Fraction(96) - Fraction(1, 10**9), Fraction(104) + Fraction(1, 10**9)):
        assert judge(value, limits, SIMPLE, Fraction(1)).verdict is Verdict.NONCONFORMING


def test_both_guard_bands_narrow_a_two_sided_tolerance() -> None:
    """ISO 14253-1:2017, guard factor 0.83, U = 2."""
    judgment = judge(Fraction(5), ZERO_TO_TEN, ISO_14253, Fraction(2))
    assert judgment == Judgment(
        Verdict.CONFORMING,
        judgment.probability,
        True,
        ZERO_TO_TEN,
        AtLimits.same(exactly("1.66")),
    )
    assert judgment.acceptance == Interval(exactly("1.66"), exactly("8.34"))


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("91.70", Verdict.CONFORMING),
        ("91.69", Verdict.CONFORMING_GUARD),
        ("88.30", Verdict.NONCONFORMING_GUARD),
        ("88.29", Verdict.NONCONFORMING),
        ("106.60", Verdict.CONFORMING),
        ("106.61", Verdict.CONFORMING_GUARD),
        ("113.40", Verdict.NONCONFORMING_GUARD),
        ("113.41", Verdict.NONCONFORMING),
    ],
)
def test_each_limit_has_the_guard_band_of_the_uncertainty_there(value: str, verdict: str) -> None:
    """90 to 110, U = 1.7 at the lower and 3.4 at the upper limit, guard 1 (ILAC-G8:2009)."""
    limits = Interval(Fraction(90), Fraction(110))
    at_limits = AtLimits(exactly("1.7"), exactly("3.4"))
    for of_the_reading in (Fraction(0), Fraction(9)):
        judgment = judge(exactly(value), limits, ILAC_2009, of_the_reading, at_limits)
        assert judgment.verdict is verdict
        assert judgment.guard_bands == at_limits
        assert judgment.acceptance == Interval(exactly("91.7"), exactly("106.6"))


def test_two_bands_that_meet_leave_one_reading_and_beyond_that_none() -> None:
    """Guard bands of 4 and 6 between 0 and 10 meet at 4; with 4 and 6.01 nothing is accepted."""
    meeting = AtLimits(Fraction(4), Fraction(6))
    assert ZERO_TO_TEN.narrowed(meeting) == Interval(Fraction(4), Fraction(4))
    past = AtLimits(Fraction(4), exactly("6.01"))
    assert ZERO_TO_TEN.narrowed(past) is None
    assert not judge(Fraction(4), ZERO_TO_TEN, ILAC_2009, Fraction(0), past).decidable


def test_without_uncertainty_the_decision_is_a_step_at_the_limit() -> None:
    """The limit of JCGM 106:2012, 7.3 for u to 0; nothing is divided by zero."""
    just_above = 100 + Fraction(1, 10**12)
    at_limit = judge(Fraction(100), AT_MOST_100, ISO_14253, Fraction(0))
    above = judge(just_above, AT_MOST_100, ISO_14253, Fraction(0))
    assert (at_limit.verdict, at_limit.probability) == (Verdict.CONFORMING, 1.0)
    assert (above.verdict, above.probability) == (Verdict.NONCONFORMING, 0.0)
    for uncertainty in (Fraction(1, 10**k) for k in range(13, 400, 50)):
        assert conformance_probability(just_above, AT_MOST_100, uncertainty) < 1e-12
    assert exact_acceptance(AT_MOST_100, Fraction(0), 0.95) == AT_MOST_100


def test_a_single_permitted_value_can_be_met_exactly_but_not_measured_with_uncertainty() -> None:
    """A tolerance of no width: common sense, no published source."""
    only_540 = Interval(Fraction(540), Fraction(540))
    assert judge(Fraction(540), only_540, ISO_14253, Fraction(0)).verdict is Verdict.CONFORMING
    assert not judge(Fraction(540), only_540, ISO_14253, Fraction(1, 1000)).decidable


# Refusals


def test_an_interval_without_limits_is_refused() -> None:
    """Nothing can be decided against no limit."""
    with pytest.raises(ValueError, match="needs a lower or an upper limit"):
        Interval(None, None)


def test_limits_in_the_wrong_order_are_refused() -> None:
    """The message says what to do."""
    with pytest.raises(ValueError, match="Exchange them"):
        Interval(Fraction(5), Fraction(4))


def test_a_negative_guard_factor_or_uncertainty_is_refused() -> None:
    """A guard band outside the limit would accept what does not conform."""
    with pytest.raises(ValueError, match="guard factor"):
        DecisionRule("guarded", Fraction(-1))
    with pytest.raises(ValueError, match="uncertainty must be"):
        judge(Fraction(1), ZERO_TO_TEN, SIMPLE, Fraction(-1))


@pytest.mark.parametrize("target", [0.4, 1.0, float("nan")])
def test_a_wanted_probability_that_promises_nothing_or_everything_is_refused(
    target: float,
) -> None:
    """Below a half a rejection would be as good; 1 is never reached."""
    with pytest.raises(ValueError, match=r"0\.5 to below 1"):
        exact_acceptance(ZERO_TO_TEN, Fraction(1), target)


# What must always hold


@given(numbers, intervals(), guards, uncertainties, scales)
@settings(max_examples=100)
def test_a_verdict_does_not_depend_on_the_unit(
    value: Fraction, interval: Interval, guard: Fraction, expanded: Fraction, scale: Fraction
) -> None:
    """Measuring in inches instead of millimeters changes nothing, the probability included."""
    rule = DecisionRule("guarded", guard)
    converted = Interval(
        None if interval.low is None else interval.low * scale,
        None if interval.high is None else interval.high * scale,
    )
    here = judge(value, interval, rule, expanded)
    there = judge(value * scale, converted, rule, expanded * scale)
    assert (here.verdict, here.probability) == (there.verdict, there.probability)
    assert here.decidable == there.decidable


@given(numbers, intervals(), uncertainties, guards, guards)
@settings(max_examples=100)
def test_a_wider_guard_band_never_accepts_what_a_narrower_one_did_not(
    value: Fraction, interval: Interval, expanded: Fraction, one: Fraction, other: Fraction
) -> None:
    """Growing w never turns a rejection into an acceptance (JCGM 106:2012, 8.3.2)."""
    narrow, wide = sorted((one, other))
    before = judge(value, interval, DecisionRule("guarded", narrow), expanded).verdict
    after = judge(value, interval, DecisionRule("guarded", wide), expanded).verdict
    if before is not Verdict.CONFORMING:
        assert after is not Verdict.CONFORMING
    if after is Verdict.NONCONFORMING:
        assert before is Verdict.NONCONFORMING


@given(numbers, intervals(), guards, uncertainties, uncertainties)
@settings(max_examples=100)
def test_a_worse_instrument_never_makes_a_reading_conforming(
    value: Fraction, interval: Interval, guard: Fraction, one: Fraction, other: Fraction
) -> None:
    """More uncertainty can only weaken the statement (ISO 14253-1:2017)."""
    better, worse = sorted((one, other))
    rule = DecisionRule("guarded", guard)
    if judge(value, interval, rule, worse).verdict is Verdict.CONFORMING:
        assert judge(value, interval, rule, better).verdict is Verdict.CONFORMING


@given(numbers, intervals(), guards, uncertainties)
@settings(max_examples=100)
def test_no_reading_outside_its_limits_is_called_conforming_under_any_rule(
    value: Fraction, interval: Interval, guard: Fraction, expanded: Fraction
) -> None:
    """The side of the limit is decided by the reading alone."""
    for rule in (SIMPLE, DecisionRule("guarded", guard)):
        verdict = judge(value, interval, rule, expanded).verdict
        inside = verdict in (Verdict.CONFORMING, Verdict.CONFORMING_GUARD)
        assert inside == (value in interval)


@given(numbers, uncertainties.filter(bool), st.fractions(0, 100, max_denominator=100))
@settings(max_examples=100)
def test_probability_is_symmetric_about_the_middle_of_the_tolerance(
    middle: Fraction, uncertainty: Fraction, offset: Fraction
) -> None:
    """JCGM 106:2012, 7.4: the normal distribution is symmetric."""
    limits = Interval(middle - 10, middle + 10)
    above = conformance_probability(middle + offset, limits, uncertainty)
    below = conformance_probability(middle - offset, limits, uncertainty)
    assert above == pytest.approx(below, abs=1e-15)


@given(numbers, numbers, uncertainties)
@settings(max_examples=100)
def test_probability_only_falls_as_a_reading_climbs_toward_an_upper_limit(
    one: Fraction, other: Fraction, uncertainty: Fraction
) -> None:
    """One-sided conformance probability is monotone (JCGM 106:2012, 7.3.2)."""
    lower, higher = sorted((one, other))
    assert conformance_probability(lower, AT_MOST_100, uncertainty) >= conformance_probability(
        higher, AT_MOST_100, uncertainty
    )


@given(
    st.fractions(Fraction(1, 100), 100, max_denominator=1000),
    st.floats(0.5, 0.9999, exclude_max=True),
)
@settings(max_examples=100)
def test_the_exact_acceptance_limit_reaches_the_wanted_probability_and_no_reading_beyond_does(
    uncertainty: Fraction, target: float
) -> None:
    """The limit is where the probability of JCGM 106:2012, 7.4 crosses the wanted one."""
    acceptance = exact_acceptance(ZERO_TO_TEN, uncertainty, target)
    if acceptance is None:
        best = conformance_probability(Fraction(5), ZERO_TO_TEN, uncertainty)
        assert best < target
        return
    assert acceptance.high is not None
    beyond = acceptance.high + uncertainty / 10**6
    at_limit = conformance_probability(acceptance.high, ZERO_TO_TEN, uncertainty)
    assert at_limit == pytest.approx(target, abs=1e-9) or at_limit > target
    assert conformance_probability(beyond, ZERO_TO_TEN, uncertainty) < target


def test_enormous_and_tiny_ratios_do_not_overflow() -> None:
    """A reading a googol of uncertainties away is simply certain."""
    far = Fraction(10) ** 400
    assert conformance_probability(far, AT_MOST_100, Fraction(1)) == 0.0
    assert conformance_probability(-far, AT_MOST_100, Fraction(1)) == 1.0
    assert conformance_probability(Fraction(0), AT_MOST_100, 1 / far) == 1.0
