"""A reading outside its limit: which way and how far, whatever the unit and the limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.catalog.corrections import count, length, torque, volume

values = st.floats(0.0, 50.0)


@given(values, values, values)
def test_the_amount_leads_to_the_middle_of_two_limits(one: float, other: float, at: float) -> None:
    """What is added to a short reading, or taken off a long one, brings it to the middle."""
    least, most = sorted((one, other))
    advice = length(at, "more", "less", least, most)
    middle = (least + most) / 2
    if advice is None:
        assert at == middle
        return
    sign = 1 if advice.values["how"] == "more" else -1
    assert at + sign * advice.amount == pytest.approx(middle)


@given(values, values)
def test_beside_one_limit_only_the_far_side_is_advised(limit: float, at: float) -> None:
    """At least: too little is advised by what is missing. At most: too much by what is over."""
    low, high = length(at, "more", "less", least=limit), length(at, "more", "less", most=limit)
    assert (low is not None) == (at < limit)
    assert (high is not None) == (at > limit)
    for advice in (low, high):
        assert advice is None or advice.amount == pytest.approx(abs(at - limit))


def test_a_torque_inside_its_limits_needs_nothing_and_one_over_is_not_simply_turned_back() -> None:
    """Backing a stretched bolt off does not mend it (AC 43.13-1B: change the part instead)."""
    assert torque(100.0, 100.0, 110.0) is None
    assert torque(110.0, 100.0, 110.0) is None
    over = torque(115.0, 100.0, 110.0)
    assert over is not None
    assert over.amount == 5.0
    assert over.do == "loosen-and-retighten"


def test_a_count_is_led_to_the_nearer_limit_because_half_a_stroke_cannot_be_given() -> None:
    """3 to 6 strokes: 2 are one short, 8 are two over."""
    short, over = count(2.0, least=3.0, most=6.0), count(8.0, least=3.0, most=6.0)
    assert short is not None
    assert over is not None
    assert (short.amount, over.amount) == (1.0, 2.0)
    assert count(4.0, least=3.0, most=6.0) is None


def test_a_procedures_own_words_go_with_the_advice() -> None:
    """Without them, only which way."""
    assert volume(0.001, "Add oil", least=0.002) == Advice(
        "as-procedure-says", 0.001, "m^3", how="Add oil"
    )
    assert volume(0.001, least=0.002) == Advice("raise-reading", 0.001, "m^3")
    assert volume(0.002, most=0.001) == Advice("lower-reading", 0.001, "m^3")


def test_limits_the_wrong_way_round_are_refused() -> None:
    """The refusal names the lower one."""
    with pytest.raises(RuleRefusal, match="limits-swapped") as refusal:
        torque(100.0, 110.0, 100.0)
    assert refusal.value.field == "least"
