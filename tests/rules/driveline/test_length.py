"""Length of a driveline: published requirements, worked by hand, and what must always hold."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.driveline.length import (
    USUAL_CLEARANCE,
    USUAL_OVERLAP,
    end_clearance,
    half_lengths,
    length_advice,
    length_change,
    overlap,
    verdict,
)

INCH = 0.0254
halves = st.floats(0.3, 2.0)


def test_the_usual_requirements_are_six_and_two_inches() -> None:
    """Operator manuals (one origin): 6 in (152 mm) of overlap, 2 in (51 mm) of clearance."""
    assert pytest.approx(6 * INCH) == USUAL_OVERLAP
    assert pytest.approx(2 * INCH) == USUAL_CLEARANCE


def test_overlap_and_clearance_by_hand() -> None:
    """Halves of 40 and 36 in: at 64 in they overlap 12 in, at 43 in the longer has 3 in left."""
    assert overlap(40 * INCH, 36 * INCH, 64 * INCH) == pytest.approx(12 * INCH)
    assert end_clearance(40 * INCH, 36 * INCH, 43 * INCH) == pytest.approx(3 * INCH)


def test_a_driveline_that_meets_both_requirements_exactly_is_left_alone() -> None:
    """Overlap 6 in at 74 in, clearance 2 in at 42 in, halves of 40 in."""
    assert length_change(40 * INCH, 40 * INCH, 74 * INCH, 42 * INCH) == 0.0
    advice = length_advice(40 * INCH, 40 * INCH, 74 * INCH, 42 * INCH)
    assert advice.amount == pytest.approx(6 * INCH)
    assert advice.do == "driveline-fits"


def test_a_driveline_that_bottoms_loses_the_same_off_both_halves() -> None:
    """Clearance 1 in where 2 in are wanted: 1 in off each, which costs 2 in of overlap."""
    advice = length_advice(40 * INCH, 40 * INCH, 70 * INCH, 41 * INCH)
    assert advice.amount == pytest.approx(1 * INCH)
    assert advice.do == "cut-driveline"


def test_a_driveline_with_too_little_overlap_wants_longer_halves() -> None:
    """Overlap 4 in where 6 in are wanted: 1 in longer in each half."""
    advice = length_advice(36 * INCH, 36 * INCH, 68 * INCH, 45 * INCH)
    assert advice.amount == pytest.approx(1 * INCH)
    assert advice.do == "lengthen-driveline"


@pytest.mark.parametrize(
    ("longest", "shortest", "code"),
    [
        (76 * INCH, 41 * INCH, "driveline-unfit"),
        (73 * INCH, 41 * INCH, "driveline-unfit-when-cut"),
        (75 * INCH, 42.25 * INCH, "driveline-unfit-when-lengthened"),
    ],
)
def test_a_driveline_that_no_saw_can_help_is_called_the_wrong_one(
    longest: float, shortest: float, code: str
) -> None:
    """Halves of 40 in: too short at the longest and too long at the shortest."""
    with pytest.raises(RuleRefusal) as refusal:
        length_change(40 * INCH, 40 * INCH, longest, shortest)
    assert (refusal.value.field, refusal.value.code) == ("outer", code)


def test_exchanged_spans_are_noticed() -> None:
    """The shortest cannot be longer than the longest."""
    for attempt in (
        lambda: length_change(1.0, 1.0, 1.2, 1.6),
        lambda: half_lengths(1.2, 1.6),
        lambda: verdict(1.0, 1.0, 1.2, 1.6, 0.1, 0.1, 0.1, 0.1, 0.4, 0.4),
    ):
        with pytest.raises(RuleRefusal, match="spans-swapped") as refusal:
            attempt()
        assert refusal.value.field == "shortest"


def test_the_verdict_names_everything_that_fails() -> None:
    """Each limit on its own, the manufacturer's value entered."""
    bad = verdict(0.9, 0.9, 1.75, 0.92, 0.5, 0.6, 0.15, 0.05, 0.4, 0.4)
    assert not bad.fits
    assert bad.failing == (
        "overlap",
        "end-clearance",
        "tractor-joint-angle",
        "machine-joint-angle",
    )
    assert bad.overlap == pytest.approx(0.05)
    assert bad.end_clearance == pytest.approx(0.02)


def test_limits_reached_exactly_are_allowed() -> None:
    """Overlap, clearance and both angles on their limit."""
    good = verdict(0.9, 0.9, 1.65, 0.95, 0.4, 0.4, 0.15, 0.05, 0.4, 0.4)
    assert good.fits
    assert good.failing == ()


def test_halves_to_order_by_hand() -> None:
    """74 in and 42 in, 6 and 2 in wanted: (74 + 6) / 2 = 40 in at least, 42 - 2 = 40 at most."""
    wanted = half_lengths(74 * INCH, 42 * INCH)
    assert wanted.least == pytest.approx(40 * INCH)
    assert wanted.most == pytest.approx(40 * INCH)


def test_a_movement_too_great_for_two_halves_is_refused() -> None:
    """One inch more of travel and no equal halves will do."""
    with pytest.raises(RuleRefusal, match="slides-too-far"):
        half_lengths(75 * INCH, 42 * INCH)


@given(halves, halves, st.floats(0.5, 3.5), st.floats(0.0, 1.0))
@settings(max_examples=100)
def test_the_change_makes_the_driveline_fit_and_is_the_least_that_does(
    outer: float, inner: float, longest: float, travel: float
) -> None:
    """Cut or lengthened as advised it meets both; a tenth of a millimeter less and it does not."""
    shortest = longest - travel
    assume(shortest > 0.1)
    try:
        change = length_change(outer, inner, longest, shortest)
    except RuleRefusal:
        return

    def fits(change: float) -> bool:
        return (
            overlap(outer + change, inner + change, longest) >= USUAL_OVERLAP - 1e-8
            and end_clearance(outer + change, inner + change, shortest) >= USUAL_CLEARANCE - 1e-8
        )

    assert fits(change)
    if change:
        assert not fits(change - 1e-4 if change > 0 else change + 1e-4)


@given(halves, st.floats(0.5, 3.5), st.floats(0.0, 1.0))
@settings(max_examples=100)
def test_equal_halves_are_refused_exactly_where_none_can_be_ordered(
    half: float, longest: float, travel: float
) -> None:
    """The refusal to cut or lengthen, and the refusal to order, are one condition."""
    shortest = longest - travel
    assume(shortest > 0.1)
    slack = 2 * (shortest - USUAL_CLEARANCE) - (longest + USUAL_OVERLAP)
    assume(abs(slack) > 1e-6)
    if slack > 0:
        changed = half + length_change(half, half, longest, shortest)
        wanted = half_lengths(longest, shortest)
        assert wanted.least - 1e-8 <= changed <= wanted.most + 1e-8
    else:
        with pytest.raises(RuleRefusal):
            length_change(half, half, longest, shortest)
        with pytest.raises(RuleRefusal):
            half_lengths(longest, shortest)


@given(halves, halves, st.floats(0.5, 3.5), st.floats(0.001, 0.5))
@settings(max_examples=60)
def test_drawing_out_costs_overlap_and_gains_clearance(
    outer: float, inner: float, span: float, more: float
) -> None:
    """And it does not matter which half is on which end."""
    assert overlap(outer, inner, span + more) < overlap(outer, inner, span)
    assert end_clearance(outer, inner, span + more) > end_clearance(outer, inner, span)
    assert overlap(outer, inner, span) == overlap(inner, outer, span)
    assert end_clearance(outer, inner, span) == end_clearance(inner, outer, span)


@pytest.mark.parametrize("value", [0.0, -1.0, 1e6, None])
def test_a_half_that_cannot_be_is_refused_by_name(value: float | None) -> None:
    """Zero, negative, enormous, missing."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["driveline.overlap"](outer=value, inner=1.0, span=1.5)
    assert refusal.value.field == "outer"
