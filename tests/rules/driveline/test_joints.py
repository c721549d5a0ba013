"""Cardan joints: published tables and answers, and the kinematics integrated from first principles.

The independent check builds the two yokes as vectors: the cross's arms stay at right angles, each
in the plane its own shaft turns in. No formula of the rules is used there.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.driveline import joints

STEPS = 3600

angles = st.floats(0.01, 1.2)


def cross_turned_through_a_turn(angle: float) -> list[float]:
    """Rotation of the driven yoke at each step of a turn of the driving one, from vectors.

    Driving shaft along z, driven shaft bent by `angle` about x. The driving arm is a =
    (cos t, sin t, 0); the driven arm lies in the plane across the driven shaft, at right angles
    to a. It starts with a along y, in the plane of the bend, where the ratio is greatest.
    """
    shaft = (0.0, math.sin(angle), math.cos(angle))
    sideways = (0.0, math.cos(angle), -math.sin(angle))  # across the driven shaft, as x is
    turned, last = [], None
    for step in range(STEPS + 1):
        rotation = math.pi / 2 + 2 * math.pi * step / STEPS
        arm = (math.cos(rotation), math.sin(rotation), 0.0)
        other = (  # shaft x arm: across the driven shaft, and square to the driving arm
            shaft[1] * arm[2] - shaft[2] * arm[1],
            shaft[2] * arm[0] - shaft[0] * arm[2],
            shaft[0] * arm[1] - shaft[1] * arm[0],
        )
        up = sum(p * q for p, q in zip(other, sideways, strict=True))
        here = math.atan2(-up, -other[0])
        if last is not None:
            here += 2 * math.pi * round((last - here) / (2 * math.pi))
        turned.append(here)
        last = here
    return turned


def rates(turned: list[float]) -> list[float]:
    """Ratio of speeds between steps."""
    return [(after - before) * STEPS / (2 * math.pi) for before, after in pairwise(turned)]


# Published answers


def test_two_joints_at_20_degrees_swing_the_tube_between_469_85_and_532_09_rpm() -> None:
    """Published exam solution for 500 rpm."""
    extremes = joints.ratio_extremes(math.radians(20))
    assert round(500 * extremes.least, 2) == 469.85
    assert round(500 * extremes.most, 2) == 532.09


def test_one_joint_at_30_degrees_swings_500_rpm_between_433_and_577_35() -> None:
    """Handbook problem; result computed."""
    extremes = joints.ratio_extremes(math.radians(30))
    assert round(500 * extremes.least, 1) == 433.0
    assert round(500 * extremes.most, 2) == 577.35


def test_a_speed_swing_of_0_0027_belongs_to_2_977_degrees() -> None:
    """An industrial joint manufacturer's limit where a pair does not cancel: “about 3 degrees”."""
    angle = joints.angle_for_non_uniformity(0.0027)
    assert round(math.degrees(angle), 3) == 2.977


def test_a_swing_of_100_rpm_at_1200_rpm_belongs_to_16_42_degrees() -> None:
    """A published solution prints 16.2 degrees; its own cosine 0.9592 and speeds give 16.42."""
    angle = joints.angle_for_non_uniformity(100 / 1200)
    assert round(math.cos(angle), 4) == 0.9592
    assert round(math.degrees(angle), 2) == 16.42
    extremes = joints.ratio_extremes(angle)
    assert (round(1200 * extremes.most), round(1200 * extremes.least)) == (1251, 1151)


@pytest.mark.parametrize(
    ("rpm", "degrees", "minutes", "computed"),
    [(3000, 5, 50, 1025), (2500, 7, 0, 1026), (2000, 8, 40, 1008), (1500, 11, 30, 1001)],
)
def test_the_joint_chart_keeps_the_acceleration_near_1000(
    rpm: float, degrees: float, minutes: float, computed: float
) -> None:
    """A manufacturer's chart; its heading says 100 rad/s², its rows come to ten times that."""
    angle = math.radians(degrees + minutes / 60)
    assert round(joints.peak_acceleration(angle, rpm / 60)) == pytest.approx(computed, abs=1)


def test_the_square_root_rule_makes_10_degrees_of_8_and_6() -> None:
    """NAVEDTRA 14050A; the exact angle 9.954 is computed."""
    compound = joints.compound_angle(math.radians(8), math.radians(6))
    assert round(math.degrees(compound.approximate), 3) == 10.000
    assert round(math.degrees(compound.angle), 3) == 9.954


def test_the_square_root_rule_errs_more_when_steep() -> None:
    """20 and 15 degrees: 25.000 by the rule, 24.321 exactly (computed)."""
    compound = joints.compound_angle(math.radians(20), math.radians(15))
    assert round(math.degrees(compound.approximate), 3) == 25.000
    assert round(math.degrees(compound.angle), 3) == 24.321


# Table of a Hooke's joint: every value computed, none from our code


@pytest.mark.parametrize(
    ("degrees", "least", "most", "above", "below", "swing", "lead"),
    [
        (3, 0.99863, 1.00137, 0.137, 0.137, 0.00274, 0.039),
        (5, 0.99619, 1.00382, 0.382, 0.381, 0.00763, 0.109),
        (10, 0.98481, 1.01543, 1.543, 1.519, 0.03062, 0.439),
        (15, 0.96593, 1.03528, 3.528, 3.407, 0.06935, 0.993),
        (20, 0.93969, 1.06418, 6.418, 6.031, 0.12449, 1.782),
        (30, 0.86603, 1.15470, 15.470, 13.397, 0.28868, 4.117),
        (35, 0.81915, 1.22077, 22.077, 18.085, 0.40162, 5.705),
        (45, 0.70711, 1.41421, 41.421, 29.289, 0.70711, 9.879),
    ],
)
def test_the_table_of_hookes_joint(
    degrees: float, least: float, most: float, above: float, below: float, swing: float, lead: float
) -> None:
    """Computed independently from the textbook formulas (lead: value from memory)."""
    angle = math.radians(degrees)
    extremes = joints.ratio_extremes(angle)
    assert round(extremes.least, 5) == least
    assert round(extremes.most, 5) == most
    assert round(100 * (extremes.most - 1), 3) == above
    assert round(100 * (1 - extremes.least), 3) == below
    assert round(extremes.non_uniformity, 5) == swing
    assert round(math.degrees(joints.lead(angle)), 3) == lead


@pytest.mark.parametrize(
    ("degrees", "at_540", "at_1000"),
    [(10, 97.9, 335.9), (15, 222.0, 761.4), (20, 399.6, 1370.4)],
)
def test_the_table_of_accelerations(degrees: float, at_540: float, at_1000: float) -> None:
    """Computed by the small-angle form w² sin² / cos, which is right to 0.1 % here."""
    angle = math.radians(degrees)
    assert joints.peak_acceleration(angle, 9.0) == pytest.approx(at_540, rel=1e-3)
    assert joints.peak_acceleration(angle, 1000 / 60) == pytest.approx(at_1000, rel=1e-3)


# Integrated from first principles


@pytest.mark.parametrize("degrees", [5, 20, 45, 70])
def test_the_rotation_follows_the_cross(degrees: float) -> None:
    """The tangent relation against the cross built from vectors, all round."""
    angle = math.radians(degrees)
    for step, turned in enumerate(cross_turned_through_a_turn(angle)):
        by_rule = joints.turned_angle(angle, 2 * math.pi * step / STEPS)
        assert math.cos(by_rule - turned) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("degrees", [5, 20, 45])
def test_the_ratio_is_the_slope_of_the_rotation(degrees: float) -> None:
    """Differences of the rotation over small steps."""
    angle = math.radians(degrees)
    for step, rate in enumerate(rates(cross_turned_through_a_turn(angle))):
        middle = 2 * math.pi * (step + 0.5) / STEPS
        assert joints.speed_ratio(angle, middle) == pytest.approx(rate, rel=1e-5)


@given(angles)
@settings(max_examples=25)
def test_the_ratio_averages_one_over_a_turn(angle: float) -> None:
    """No joint gains or loses a turn; the sum over equal steps integrates it."""
    count = 720
    total = sum(joints.speed_ratio(angle, 2 * math.pi * step / count) for step in range(count))
    assert total / count == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("degrees", [3, 10, 20, 35, 45])
def test_extremes_lead_and_acceleration_are_those_of_the_integrated_turn(degrees: float) -> None:
    """Greatest and least over the steps, w = 1 rad/s, to the step's resolution."""
    angle = math.radians(degrees)
    turned = cross_turned_through_a_turn(angle)
    speeds = rates(turned)
    extremes = joints.ratio_extremes(angle)
    assert max(speeds) == pytest.approx(extremes.most, rel=1e-5)
    assert min(speeds) == pytest.approx(extremes.least, rel=1e-5)
    ahead = max(here - 2 * math.pi * step / STEPS for step, here in enumerate(turned))
    assert ahead == pytest.approx(joints.lead(angle), rel=1e-5)
    slope = max(after - before for before, after in pairwise(speeds)) * STEPS / (2 * math.pi)
    assert slope == pytest.approx(joints.peak_acceleration(angle, 1 / (2 * math.pi)), rel=1e-4)


@given(angles)
@settings(max_examples=40)
def test_the_shafts_turn_alike_where_the_tangent_is_the_root_of_the_cosine(angle: float) -> None:
    """Published in two exam solutions; there the lead is greatest too."""
    here = math.atan(math.sqrt(math.cos(angle)))
    assert joints.speed_ratio(angle, here) == pytest.approx(1.0, abs=1e-12)
    assert joints.turned_angle(angle, here) - here == pytest.approx(joints.lead(angle), abs=1e-12)


# Pairs


@given(angles)
@settings(max_examples=40)
def test_equal_angles_in_phase_even_out_exactly(angle: float) -> None:
    """The reason for keeping yokes in phase."""
    pair = joints.pair(angle, angle)
    assert (pair.least, pair.most, pair.non_uniformity) == (1.0, 1.0, 0.0)


@given(angles)
@settings(max_examples=40)
def test_a_quarter_turn_out_of_phase_doubles_the_trouble(angle: float) -> None:
    """Published: least cos², greatest 1 / cos²."""
    pair = joints.pair(angle, angle, math.pi / 2)
    assert pair.most == pytest.approx(1 / math.cos(angle) ** 2)
    assert pair.least == pytest.approx(math.cos(angle) ** 2)


def test_unequal_angles_leave_the_ratio_of_their_cosines() -> None:
    """cos b2 / cos b1 and its inverse; the root of the difference of squares comes close."""
    first, second = math.radians(25), math.radians(15)
    pair = joints.pair(first, second)
    assert pair.most == pytest.approx(math.cos(second) / math.cos(first))
    assert pair.least == pytest.approx(math.cos(first) / math.cos(second))
    assert math.degrees(pair.equivalent_angle) == pytest.approx(20.0, abs=0.5)


def test_a_wide_angle_joint_counts_as_a_straight_one() -> None:
    """Only the single joint's own swing is left, however the yokes stand."""
    single = joints.ratio_extremes(math.radians(20))
    for misphase in (0.0, 0.7, math.pi / 2):
        pair = joints.pair(0.0, math.radians(20), misphase)
        assert pair.most == pytest.approx(single.most)
        assert pair.non_uniformity == pytest.approx(single.non_uniformity)


@pytest.mark.parametrize("misphase_degrees", [0, 15, 40, 90])
def test_a_pair_out_of_phase_is_the_product_of_two_turning_crosses(
    misphase_degrees: float,
) -> None:
    """The second cross is driven by the first, step by step, with its yokes turned by the error."""
    first, second = math.radians(20), math.radians(30)
    offset = math.pi / 2 + math.radians(misphase_degrees)
    speeds = []
    for step in range(STEPS):
        rotation = 2 * math.pi * step / STEPS
        between = joints.turned_angle(first, rotation)
        speeds.append(
            joints.speed_ratio(first, rotation) * joints.speed_ratio(second, between + offset)
        )
    pair = joints.pair(first, second, math.radians(misphase_degrees))
    assert max(speeds) == pytest.approx(pair.most, rel=1e-5)
    assert min(speeds) == pytest.approx(pair.least, rel=1e-5)


# What must always hold


@given(angles, angles, st.floats(-3, 3))
@settings(max_examples=80)
def test_a_pair_is_no_worse_than_a_quarter_turn_out_and_no_better_than_in_phase(
    first: float, second: float, misphase: float
) -> None:
    """Between the two, whichever way the error goes and whichever joint comes first."""
    pair = joints.pair(first, second, misphase).non_uniformity
    slack = 1e-9 * (1 + pair)
    assert joints.pair(first, second).non_uniformity <= pair + slack
    assert pair <= joints.pair(first, second, math.pi / 2).non_uniformity + slack
    assert joints.pair(first, second, -misphase).non_uniformity == pair
    assert joints.pair(second, first, misphase).non_uniformity == pytest.approx(pair, abs=1e-9)


@given(st.floats(0.0, 1.4), st.floats(0.001, 0.05))
@settings(max_examples=60)
def test_more_bend_is_never_smoother(angle: float, more: float) -> None:
    """Swing, lead and acceleration all grow with the angle."""
    assert (
        joints.ratio_extremes(angle).non_uniformity
        < joints.ratio_extremes(angle + more).non_uniformity
    )
    assert joints.lead(angle) < joints.lead(angle + more)
    assert joints.peak_acceleration(angle, 9.0) < joints.peak_acceleration(angle + more, 9.0)


@given(st.floats(0.001, 1.4))
@settings(max_examples=60)
def test_the_angle_comes_back_from_its_swing(angle: float) -> None:
    """The two rules undo each other."""
    swing = joints.ratio_extremes(angle).non_uniformity
    assert joints.angle_for_non_uniformity(swing) == pytest.approx(angle, abs=1e-6)


@given(st.floats(0.0, 1.4), st.floats(0.0, 1.4))
@settings(max_examples=60)
def test_the_square_root_rule_is_never_too_small(side: float, plan: float) -> None:
    """And both views count alike."""
    compound = joints.compound_angle(side, plan)
    assert compound.angle <= compound.approximate + 1e-12
    assert compound.angle >= max(side, plan) - 1e-12
    assert joints.compound_angle(plan, side) == compound


def test_a_straight_joint_does_nothing() -> None:
    """Zero is within the range of each rule."""
    assert joints.ratio_extremes(0.0) == joints.RatioExtremes(1.0, 1.0, 0.0)
    assert joints.lead(0.0) == 0.0
    assert joints.peak_acceleration(0.0, 9.0) == 0.0


# General limits and the wide-angle joint


@pytest.mark.parametrize(
    ("joint", "duty", "degrees"),
    [
        ("single", "preferred", 15),
        ("single", "continuous", 25),
        ("single", "short", 45),
        ("single", "stationary", 90),
        ("wide-angle", "continuous", 25),
        ("wide-angle", "short", 80),
        ("wide-angle", "stationary", 80),
    ],
)
def test_general_angle_limits_are_the_quoted_ones(joint: str, duty: str, degrees: int) -> None:
    """Driveline manuals quoted in public; never shown as a manufacturer's limit."""
    assert round(math.degrees(joints.advisory_limit(joint, duty)), 9) == degrees


def test_no_preferred_angle_is_made_up_for_a_wide_angle_joint() -> None:
    """Nothing published, nothing answered."""
    with pytest.raises(RuleRefusal) as refusal:
        joints.advisory_limit("wide-angle", "preferred")
    assert refusal.value.field == "duty"


def test_a_wide_angle_joint_over_the_pivot_leaves_the_single_joint_straight() -> None:
    """Manufacturers' rule: the pivot of the hitch coincides with that of the joint."""
    bend = joints.wide_angle_offset(0.0, 1.8, math.radians(70))
    assert math.degrees(bend.wide_angle) == pytest.approx(70)
    assert bend.single_angle == 0.0
    assert bend.non_uniformity == 0.0


def test_an_offset_joint_bends_the_single_joint_by_the_cosine_law() -> None:
    """By hand: 0.3 m ahead, 0.5 m behind, 60 degrees: third side 0.7 m, cosine 13/14."""
    bend = joints.wide_angle_offset(0.3, 0.5, math.radians(60))
    assert math.cos(bend.single_angle) == pytest.approx(13 / 14)
    assert math.cos(bend.wide_angle) == pytest.approx(11 / 14)


@given(st.floats(-0.25, 0.25), st.floats(0.6, 4.0), st.floats(0.0, 1.4))
@settings(max_examples=60)
def test_the_two_joints_share_the_turn(offset: float, length: float, turn: float) -> None:
    """Ahead of the pivot the angles add to the turn; behind it the wide-angle joint takes more."""
    bend = joints.wide_angle_offset(offset, length, turn)
    signed = math.copysign(bend.single_angle, offset)
    assert bend.wide_angle + signed == pytest.approx(turn, abs=1e-12)


def test_joints_that_would_change_places_are_refused() -> None:
    """The single joint cannot stand ahead of the other."""
    with pytest.raises(RuleRefusal) as refusal:
        joints.wide_angle_offset(-0.5, 0.3, 0.1)
    assert refusal.value.field == "length"


@pytest.mark.parametrize("value", [-0.1, 1.6, math.nan, math.inf])
def test_an_angle_that_cannot_be_is_refused_by_name(value: float) -> None:
    """Negative, past the range, not a number, endless."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["joints.ratio_extremes"](angle=value)
    assert refusal.value.field == "angle"


def test_a_swing_divided_by_the_mid_speed_is_another_number() -> None:
    """Trap: some pages divide by (max + min)/2 and print 12.42 % at 20 degrees; ours is 12.45 %."""
    ratios = joints.ratio_extremes(math.radians(20))
    by_middle = (ratios.most - ratios.least) / ((ratios.most + ratios.least) / 2)
    assert round(100 * by_middle, 2) == 12.42
    assert round(100 * ratios.non_uniformity, 2) == 12.45
