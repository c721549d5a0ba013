"""The power take-off: standard shafts, published speeds, match with the machine, power."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.driveline import pto
from prep.rules.phrase import Amount, phrase

HORSEPOWER = 745.6998715822702  # W, 550 ft·lbf/s
POUND_FOOT = 1.3558179483314  # N·m
FOOT = 0.3048


@pytest.mark.parametrize(
    ("pto_type", "splines", "millimeters", "rpm", "turns_a_second"),
    [
        (1, 6, 35, 540, 9.000),
        (2, 21, 35, 1000, 16.667),
        (3, 20, 45, 1000, 16.667),
        (4, 22, 57.5, 1300, 21.667),
    ],
)
def test_the_shafts_are_those_of_the_standard(
    pto_type: int, splines: int, millimeters: float, rpm: int, turns_a_second: float
) -> None:
    """ISO 500-1:2014 and 500-3 restated.

    Pages that give type 2 eight splines, type 3 twenty-one, or type 4 57.5 cm are wrong.
    """
    shaft = pto.shaft(pto_type)
    assert shaft.splines == splines
    assert shaft.diameter * 1000 == pytest.approx(millimeters)
    assert shaft.rated_speed * 60 == pytest.approx(rpm)
    assert round(shaft.rated_speed, 3) == turns_a_second


@pytest.mark.parametrize(
    ("pto_type", "least", "most"), [(1, 530, 550), (2, 975, 1025), (3, 975, 1025)]
)
def test_the_speed_tolerance_is_the_restated_one(pto_type: int, least: int, most: int) -> None:
    """540 ± 10 and 1000 ± 25 rpm, older ASAE table restated in a public operator manual."""
    window = pto.speed_window(pto_type)
    assert (window.least * 60, window.most * 60) == pytest.approx((least, most))


def test_no_tolerance_is_made_up_for_type_4() -> None:
    """Nothing is published, so nothing is answered."""
    with pytest.raises(RuleRefusal, match="no-speed-tolerance") as refusal:
        pto.speed_window(4)
    assert refusal.value.field == "pto_type"


@pytest.mark.parametrize(("rating", "rpm"), [("540", 630), ("540E", 687), ("1000", 1170)])
def test_overspeed_begins_where_the_tractor_manual_says(rating: str, rpm: int) -> None:
    """One public tractor manual."""
    assert pto.overspeed_limit(rating) * 60 == pytest.approx(rpm)


def test_like_shafts_and_speeds_match() -> None:
    """Each standard shaft matches itself."""
    for pto_type in (1, 2, 3, 4):
        shaft = pto.shaft(pto_type)
        match = pto.match(shaft.splines, shaft.rated_speed, shaft.splines, shaft.rated_speed)
        assert match == pto.Match(True, ())


def test_a_1000_rpm_machine_does_not_match_a_540_tractor() -> None:
    """What differs is named, tractor first."""
    match = pto.match(6, 9.0, 21, 1000 / 60)
    assert not match.matches
    assert match.differs == (
        phrase("splines-differ", tractor=6, machine=21),
        phrase("speeds-differ", tractor=Amount(9.0, "1/s"), machine=Amount(1000 / 60, "1/s")),
    )


def test_the_same_spline_at_another_speed_does_not_match() -> None:
    """Some tractors turn a 6-spline stub at 1000 rpm; it couples, and must not."""
    (differs,) = pto.match(6, 1000 / 60, 6, 9.0).differs
    assert differs.code == "speeds-differ"


def test_the_same_speed_on_another_spline_does_not_match() -> None:
    """Types 2 and 3 both turn 1000 rpm."""
    (differs,) = pto.match(20, 1000 / 60, 21, 1000 / 60).differs
    assert differs == phrase("splines-differ", tractor=20, machine=21)


def test_an_adapter_is_never_a_match() -> None:
    """Common practice, no published source: driveline manufacturers void their warranty for it."""
    match = pto.match(6, 9.0, 6, 9.0, adapter=True)
    assert not match.matches
    assert match.differs == (phrase("adapter-fitted"),)


def test_two_roundings_of_one_rating_still_match() -> None:
    """16.67 and 16.7 turns a second both mean 1000 rpm."""
    assert pto.match(21, 16.7, 21, 16.67).matches


@pytest.mark.parametrize(
    ("watts", "rpm", "newton_meters"),
    [
        (100 * HORSEPOWER, 540, 1318.7),
        (100 * HORSEPOWER, 1000, 712.1),
        (75_000, 1000, 716.2),
    ],
)
def test_power_and_speed_give_the_handbook_torque(
    watts: float, rpm: float, newton_meters: float
) -> None:
    """hp = lb-ft x rpm / 5252 and T = 9549.3 P / n, textbook problems; results computed."""
    assert round(pto.torque(watts, rpm / 60), 1) == newton_meters


def test_the_published_power_of_650_pound_feet_at_1200_rpm() -> None:
    """148.51 hp, printed with its formula in a public tractor forum."""
    assert round(pto.power(650 * POUND_FOOT, 1200 / 60) / HORSEPOWER, 2) == 148.51


@given(st.floats(100, 1e6), st.floats(0.1, 100))
@settings(max_examples=60)
def test_torque_and_power_undo_each_other(watts: float, speed: float) -> None:
    """Power to torque and back is where it started."""
    assert pto.power(pto.torque(watts, speed), speed) == pytest.approx(watts, rel=1e-12)


def test_the_rule_of_thumb_is_five_horsepower_a_foot_from_four_to_seven() -> None:
    """Common practice for brush-type rotary cutters in four or more public articles."""
    power = pto.power_range(15 * FOOT)
    assert (power.low, power.usual, power.high) == pytest.approx(
        (60 * HORSEPOWER, 75 * HORSEPOWER, 105 * HORSEPOWER)
    )


def test_the_rule_of_thumb_in_metric_is_12_23_kw_a_meter() -> None:
    """The same rule as a reference prints it in kW per m."""
    assert round(pto.power_range(1.0).usual / 1000, 2) == 12.23


def test_the_manufacturers_minimum_power_goes_before_the_rule_of_thumb() -> None:
    """Even where it is lower."""
    general = pto.minimum_power(4.572)
    assert general.power == pytest.approx(75 * HORSEPOWER)
    assert general.decided_by == "general"
    stated = pto.minimum_power(4.572, model_minimum=40_000)
    assert stated == pto.LeastPower(40_000, "manufacturer")


@pytest.mark.parametrize(
    ("pto_type", "horsepower", "advised"),
    [(1, 75, False), (1, 75.1, True), (2, 150, False)],
)
def test_a_slip_clutch_is_advised_above_75_hp_through_the_540_shaft(
    pto_type: int, horsepower: float, advised: bool
) -> None:
    """One public tractor manual."""
    assert pto.clutch_advised(pto_type, horsepower * HORSEPOWER) is advised


@pytest.mark.parametrize(
    ("seen_from", "backing", "sense"),
    [
        ("behind the tractor", False, "clockwise"),
        ("in front of the shaft", False, "counter-clockwise"),
        ("behind the tractor", True, "counter-clockwise"),
        ("in front of the shaft", True, "clockwise"),
    ],
)
def test_the_pto_turns_clockwise_seen_from_behind(
    seen_from: str, backing: bool, sense: str
) -> None:
    """ISO 500-1:2014 clause 4.2 restated; a ground-driven PTO turns back when backing."""
    assert pto.rotation(seen_from, backing) == sense


@pytest.mark.parametrize(
    ("rpm", "feet_a_minute", "feet_a_second"), [(540, 424.1, 7.07), (1000, 785.4, 13.09)]
)
def test_a_three_inch_shaft_pulls_in_as_fast_as_the_cautions_say(
    rpm: float, feet_a_minute: float, feet_a_second: float
) -> None:
    """Published 424 ft/min, 7 and 13 ft/s; the 3 in diameter is inferred from them."""
    speed = pto.pull_in_speed(3 * 0.0254, rpm / 60) / FOOT
    assert round(speed * 60, 1) == feet_a_minute
    assert round(speed, 2) == feet_a_second


def test_a_bare_small_shaft_pulls_in_slower() -> None:
    """1-3/8 in: 194.4 and 360.0 ft/min (computed from the published diameter)."""
    for rpm, feet_a_minute in ((540, 194.4), (1000, 360.0)):
        speed = pto.pull_in_speed(1.375 * 0.0254, rpm / 60)
        assert round(speed / FOOT * 60, 1) == feet_a_minute


@pytest.mark.parametrize("value", [0, -1, math.inf, 1e9])
def test_a_power_that_cannot_be_is_refused_by_name(value: float) -> None:
    """Zero, negative, endless and enormous."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["pto.torque"](power=value, speed=9.0)
    assert refusal.value.field == "power"


@pytest.mark.parametrize(
    ("horsepower", "rpm", "pound_feet"), [(100, 540, 972.6), (100, 1000, 525.2)]
)
def test_a_hundred_horsepower_in_pound_feet(horsepower: int, rpm: int, pound_feet: float) -> None:
    """hp = lb-ft x rpm / 5252 (US formula, published with 650 lb-ft at 1200 rpm)."""
    torque = pto.torque(horsepower * HORSEPOWER, rpm / 60)
    assert round(torque / 1.3558179483314, 1) == pound_feet
