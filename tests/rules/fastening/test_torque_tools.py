"""Torque wrenches: adapters, scale, class and calibration."""

import math
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.fastening.torque_tools import (
    choice,
    deviation,
    due_on,
    is_due,
    setting,
    true_torque,
    usable_scale,
)
from prep.rules.phrase import Amount

INCH = 0.0254
FOOT = 12 * INCH

lengths = st.floats(0.1, 2.0)
extensions = st.floats(0.0, 0.09)
angles = st.floats(0.0, math.pi)
torques = st.floats(0.1, 5000)


@pytest.mark.parametrize(
    ("torque", "length", "extension", "angle", "dial"),
    [
        (100, 12 * INCH, 6 * INCH, 0, 66.7),  # US Navy, NAVEDTRA 14315
        (80, 0.40, 0.05, 0, 71.1),  # public page
        (80, 0.40, 0.05, 90, 80.0),  # the same page
        (100, 12 * INCH, 9 * INCH, 0, 57.14),  # public page
        (100, 15 * INCH, 3 * INCH, 0, 83.33),  # public page
    ],
)
def test_adapter_settings_agree_with_published_examples(
    torque: float, length: float, extension: float, angle: float, dial: float
) -> None:
    """The crow-foot formula, in line and at a right angle."""
    wrench_setting = setting(torque, length, extension, math.radians(angle))
    assert wrench_setting == pytest.approx(dial, abs=0.05)


def test_wrench_set_to_100_delivers_130_through_a_150_mm_adapter() -> None:
    """Public page: L 500 mm, 650 mm in all."""
    assert true_torque(100.0, 0.500, 0.150) == pytest.approx(130.0)


def test_adapter_turned_back_delivers_less() -> None:
    """Half a turn: L - E, so a 500 mm wrench with 150 mm delivers 70 (arithmetic)."""
    assert true_torque(100.0, 0.500, 0.150, math.pi) == pytest.approx(70.0)


def test_the_shortcut_in_feet_is_right_for_a_twelve_inch_wrench_only() -> None:
    """I = A / (1 + E) with E in feet: a shop rule, an eighth off on an 18 in wrench."""
    extension = 0.5 * FOOT
    shortcut = 100 / (1 + 0.5)
    assert setting(100, FOOT, extension) == pytest.approx(shortcut)
    assert setting(100, 1.5 * FOOT, extension) / shortcut == pytest.approx(1.125)
    assert setting(100, 2 * FOOT, extension) / shortcut == pytest.approx(1.2)


def test_an_adapter_turned_back_as_long_as_the_wrench_is_refused() -> None:
    """Hand and nut would be at one point."""
    with pytest.raises(RuleRefusal) as refusal:
        setting(100, 0.3, 0.3, math.pi)
    assert refusal.value.field == "extension"


def test_a_wrench_is_used_from_a_fifth_of_its_scale() -> None:
    """ISO 6789: 20 % to 100 %; both ends are still allowed."""
    scale = usable_scale(150.0)
    assert scale.least == pytest.approx(30.0)
    assert scale.greatest == 150.0
    assert choice(scale.least, (150.0,)) == choice(scale.greatest, (150.0,)) == 150.0


def test_a_wrench_too_large_for_the_joint_is_not_chosen() -> None:
    """20 N·m is below a fifth of 200; the refusal says what to fetch."""
    assert choice(20.0, (200.0, 60.0)) == 60.0
    with pytest.raises(RuleRefusal, match="no-wrench-in-range") as refusal:
        choice(20.0, (200.0, 800.0))
    assert refusal.value.field == "full_scales"
    assert refusal.value.values == {"torque": Amount(20.0, "N·m"), "most": Amount(100.0, "N·m")}


def test_no_wrench_at_hand_is_refused() -> None:
    """An empty tool crib."""
    with pytest.raises(RuleRefusal) as refusal:
        choice(20.0, ())
    assert refusal.value.field == "full_scales"


def test_class_a_click_wrench_keeps_four_percent() -> None:
    """ISO 6789: set to 100 N·m, 96 to 104 N·m."""
    limits = deviation(100.0, 200.0, "type II class A")
    assert (limits.least, limits.greatest) == pytest.approx((96.0, 104.0))


@pytest.mark.parametrize(("full_scale", "share"), [(10.0, 0.06), (10.001, 0.04), (5.0, 0.06)])
def test_small_wrenches_are_allowed_six_percent(full_scale: float, share: float) -> None:
    """ISO 6789, type II class A: 6 % up to 10 N·m, 4 % above."""
    assert deviation(4.0, full_scale).share == share


def test_other_classes_have_their_own_deviations() -> None:
    """ISO 6789, value from memory: type I class B 4 % throughout, type II class D 6 %."""
    assert deviation(4.0, 5.0, "type I class B").share == 0.04
    assert deviation(100.0, 200.0, "type II class D").share == 0.06


def test_a_reading_past_full_scale_is_refused() -> None:
    """Often a reading in one unit and a scale in another."""
    with pytest.raises(RuleRefusal) as refusal:
        deviation(220.0, 200.0)
    assert refusal.value.field == "reading"


@pytest.mark.parametrize(
    ("calibrated", "due"),
    [
        (date(2025, 3, 1), date(2026, 3, 1)),
        (date(2024, 2, 29), date(2025, 2, 28)),
        (date(2025, 12, 31), date(2026, 12, 31)),
    ],
)
def test_calibration_lasts_twelve_months(calibrated: date, due: date) -> None:
    """ISO 6789: 12 months; a day that next year lacks becomes the month's last."""
    assert due_on(calibrated) == due


def test_an_owner_s_shorter_interval_holds() -> None:
    """31 August and six months: the last of February."""
    assert due_on(date(2025, 8, 31), months=6) == date(2026, 2, 28)


@pytest.mark.parametrize(
    ("cycles", "today", "due"),
    [
        (0, date(2026, 3, 1), False),
        (0, date(2026, 3, 2), True),
        (4999, date(2025, 4, 1), False),
        (5000, date(2025, 4, 1), True),
    ],
)
def test_calibration_is_due_by_months_or_cycles_whichever_comes_first(
    cycles: int, today: date, due: bool
) -> None:
    """ISO 6789: 12 months or 5000 cycles."""
    assert is_due(date(2025, 3, 1), cycles, today) is due


@pytest.mark.parametrize(
    ("rule", "inputs", "field"),
    [
        ("torque_tools.setting", {"torque": 100, "length": 0, "extension": 0.1}, "length"),
        ("torque_tools.setting", {"torque": 100, "length": 0.5, "extension": -0.1}, "extension"),
        (
            "torque_tools.true_torque",
            {"reading": 100, "length": 0.5, "extension": 0.1, "angle": 90},
            "angle",
        ),
        ("torque_tools.usable_scale", {"full_scale": 0}, "full_scale"),
        (
            "torque_tools.deviation",
            {"reading": 1, "full_scale": 5, "tool_class": "best"},
            "tool_class",
        ),
    ],
)
def test_input_outside_the_rule_is_refused_by_field(
    rule: str, inputs: dict[str, object], field: str
) -> None:
    """Zero, negative, degrees typed for radians, an unknown class."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES[rule](**inputs)
    assert refusal.value.field == field


@settings(max_examples=80)
@given(torque=torques, length=lengths, extension=extensions, angle=angles)
def test_setting_and_true_torque_undo_each_other(
    torque: float, length: float, extension: float, angle: float
) -> None:
    """What the dial is set to comes back as what the nut gets, at any angle."""
    dial = setting(torque, length, extension, angle)
    assert true_torque(dial, length, extension, angle) == pytest.approx(torque)
    assert setting(torque, 2 * length, 2 * extension, angle) == pytest.approx(dial)


@settings(max_examples=80)
@given(torque=torques, length=lengths, extension=st.floats(0.001, 0.09), angle=angles)
def test_an_adapter_ahead_lowers_the_setting_and_one_behind_raises_it(
    torque: float, length: float, extension: float, angle: float
) -> None:
    """The right angle is the only place where the dial says the truth."""
    dial = setting(torque, length, extension, angle)
    if angle < math.pi / 2 - 1e-6:
        assert dial < torque
    elif angle > math.pi / 2 + 1e-6:
        assert dial > torque


@settings(max_examples=80)
@given(torque=torques, scales=st.lists(st.floats(0.1, 20_000), min_size=1, max_size=6))
def test_a_chosen_wrench_always_has_the_torque_on_its_usable_scale(
    torque: float, scales: list[float]
) -> None:
    """And when none is chosen, none would have done."""
    fits = [scale for scale in scales if usable_scale(scale).least <= torque <= scale]
    if fits:
        assert choice(torque, tuple(scales)) in fits
    else:
        with pytest.raises(RuleRefusal):
            choice(torque, tuple(scales))
