"""Emblem, speed sign, lamps and strips on the road."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.running_gear.road_marking import (
    emblem_place,
    emblem_square,
    flash_rate,
    lamp_place,
    marking,
)

KM_H = 1 / 3.6


def feet(count: str) -> float:
    """Feet to meters, exact as a typed value is."""
    return float(Fraction(count) * Fraction("0.3048"))


@pytest.mark.parametrize(("width", "lamps"), [(3.65, 0), (3.6576, 2), (3.7, 2), (4.6, 2)])
def test_machines_of_12_feet_and_more_flash_amber(width: float, lamps: int) -> None:
    """49 CFR 562: at least two lamps from 3.7 m (12 ft) wide; 12 ft is the narrower, 3.6576 m."""
    assert marking(width, 2.5, 30 * KM_H, False).flashing_ambers == lamps


def test_parts_beyond_the_tractor_carry_strips_and_hidden_lamps_are_repeated() -> None:
    """49 CFR 562."""
    assert marking(2.6, 2.5, 30 * KM_H, False).edge_strips
    assert not marking(2.5, 2.5, 30 * KM_H, False).edge_strips
    assert marking(2.5, 2.5, 30 * KM_H, True).lamps_repeated
    assert not marking(2.5, 2.5, 30 * KM_H, False).lamps_repeated


def test_a_speed_sign_joins_the_emblem_from_40_km_h() -> None:
    """ANSI/ASAE S276.8: emblem alone under 40 km/h, with the speed symbol from 40 to 65."""
    slow, fast = (marking(2.5, 2.5, speed * KM_H, False) for speed in (39.9, 40.1))
    assert slow.emblem
    assert not slow.speed_sign
    assert fast.emblem
    assert fast.speed_sign


def test_past_65_km_h_the_emblem_rules_do_not_reach() -> None:
    """ANSI/ASAE S276.8."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["road_marking.marking"](
            width=2.5, tractor_width=2.5, speed=66 * KM_H, hides_tractor_lamps=False
        )
    assert refusal.value.field == "speed"


@pytest.mark.parametrize("lower_edge", ["2", "4", "6"])
def test_an_emblem_hangs_between_two_and_six_feet(lower_edge: str) -> None:
    """ASAE S276.5 by a university extension; both ends are right."""
    assert emblem_place(feet(lower_edge)) is None


def test_a_low_emblem_is_raised_and_a_high_one_lowered_by_the_difference() -> None:
    """Lower edge at 1.5 ft and at 7 ft."""
    low, high = emblem_place(feet("1.5")), emblem_place(feet("7"))
    assert isinstance(low, Advice)
    assert isinstance(high, Advice)
    assert (low.do, high.do) == ("raise-emblem", "lower-emblem")
    assert (low.amount, high.amount) == pytest.approx((feet("0.5"), feet("1.0")))


def test_a_later_edition_lets_the_emblem_hang_at_ten_feet() -> None:
    """Value from memory."""
    assert emblem_place(feet("10"), "later edition") is None
    assert emblem_place(feet("10")) is not None


def test_an_emblem_more_than_ten_degrees_off_square_is_turned() -> None:
    """ASAE S276.5: within 10 degrees of square to the way of travel."""
    assert emblem_square(math.radians(10)) is None
    advice = emblem_square(math.radians(12))
    assert isinstance(advice, Advice)
    assert advice.amount == pytest.approx(math.radians(12))


@pytest.mark.parametrize(
    ("height", "right"), [("2.9", False), ("3", True), ("10", True), ("10.1", False)]
)
def test_lamps_stand_between_three_and_ten_feet(height: str, right: bool) -> None:
    """Older ASAE S279.10, by a university extension."""
    assert (lamp_place(feet(height)) is None) is right


def test_warning_lamps_flash_60_to_85_times_a_minute_and_up_to_110_when_turning() -> None:
    """Older ASAE S279.10, by a university extension."""
    assert flash_rate(False).least * 60 == pytest.approx(60)
    assert flash_rate(False).greatest * 60 == pytest.approx(85)
    assert flash_rate(True).greatest * 60 == pytest.approx(110)


@settings(max_examples=60)
@given(height=st.floats(0, 5))
def test_following_the_advice_puts_the_emblem_right(height: float) -> None:
    """Moved by the amount, the emblem asks for nothing more."""
    advice = emblem_place(height)
    if advice is None:
        return
    moved = height + (advice.amount if advice.do == "raise-emblem" else -advice.amount)
    again = emblem_place(moved)
    assert again is None or again.amount < 1e-12
