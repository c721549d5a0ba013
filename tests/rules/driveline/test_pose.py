"""One pose of the driveline: hand geometry, two crosses in space, symmetry.

Expected numbers are worked by hand from plane triangles; there is no published table of poses.
"""

import math
from collections.abc import Callable
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.driveline.joints import excess_non_uniformity, wide_angle_offset
from prep.rules.driveline.pose import (
    Geometry,
    Joints,
    Point,
    Pose,
    Reach,
    describe,
    machine_joint_center,
    placing,
    tractor_joint_center,
)
from prep.rules.phrase import Amount, Phrase
from tests.rules.driveline.cast import CUTTER, flat, pose_of

DEGREE = math.pi / 180


# By hand


def test_a_turn_shortens_the_driveline_by_the_cosine_law() -> None:
    """0.3 m ahead, 0.5 m behind, 60 degrees: the third side of 0.3, 0.5 and 120 degrees is 0.7."""
    pose = pose_of(flat(0.3, 0.5), turn=60 * DEGREE)
    assert pose.span == pytest.approx(0.7)
    assert math.cos(pose.tractor_angle) == pytest.approx(11 / 14)
    assert math.cos(pose.machine_angle) == pytest.approx(13 / 14)


def test_a_joint_over_the_pivot_keeps_its_distance_in_a_turn() -> None:
    """With the joint above the hitch pin nothing changes but the tractor joint's angle."""
    pose = pose_of(flat(0.0, 1.5), turn=50 * DEGREE)
    assert pose.span == pytest.approx(1.5)
    assert pose.tractor_angle == pytest.approx(50 * DEGREE)
    assert pose.machine_angle == pytest.approx(0.0, abs=1e-12)


def test_equal_arms_share_a_turn_equally() -> None:
    """Half the turn at each joint, and the pair runs evenly."""
    pose = pose_of(flat(0.8, 0.8), turn=40 * DEGREE)
    assert pose.tractor_angle == pytest.approx(20 * DEGREE)
    assert pose.machine_angle == pytest.approx(20 * DEGREE)
    assert excess_non_uniformity(pose.excess) == pytest.approx(0.0, abs=1e-7)


def test_a_height_difference_bends_both_joints_alike() -> None:
    """Straight ahead with parallel shafts (a Z): 0.3 m up over 0.4 m along is a 3-4-5 triangle."""
    pose = pose_of(Geometry(0.1, 0.2, 0.0, 0.3, 0.5, 0.0, 0.0))
    assert pose.span == pytest.approx(0.5)
    assert math.tan(pose.tractor_angle) == pytest.approx(3 / 4)
    assert math.tan(pose.machine_angle) == pytest.approx(3 / 4)
    assert excess_non_uniformity(pose.excess) == pytest.approx(0.0, abs=1e-7)


def test_the_joint_offsets_and_yoke_depths_come_off_the_span() -> None:
    """Straight and level: 0.356 + 2.0 - 0.08 - 0.10 - 2 x 0.05 m."""
    level = Geometry(0.356, 0.3, 0.08, 2.0, 0.3, 0.0, 0.10, yoke_depth=0.05)
    assert pose_of(level).span == pytest.approx(2.076)


def test_a_hollow_raises_the_machine_and_a_crest_lowers_it() -> None:
    """Joint above the pivot, machine end level with it: 10 degrees of pitch bends 10 degrees."""
    level = flat(0.0, 1.0)
    assert pose_of(level, pitch=10 * DEGREE).tractor_angle == pytest.approx(10 * DEGREE)
    above = Geometry(0.2, 0.3, 0.0, 1.0, 0.0, 0.0, 0.0)
    assert pose_of(above, pitch=0.2).span < pose_of(above, pitch=-0.2).span


def test_lifting_on_a_tongue_draws_the_machine_forward() -> None:
    """A tongue of 0.5 m risen 0.3 m reaches 0.4 m (3-4-5): 0.1 m forward; straight up, none."""
    on_tongue = Geometry(0.0, 0.3, 0.0, 1.0, 0.0, 0.0, 0.0, tongue_length=0.5)
    assert pose_of(on_tongue, lift=0.3).span == pytest.approx(0.9)
    straight_up = Geometry(0.0, 0.3, 0.0, 1.0, 0.0, 0.0, 0.0)
    assert pose_of(straight_up, lift=0.3).span == pytest.approx(1.0)


def test_a_roll_swings_a_high_input_shaft_to_the_side() -> None:
    """0.5 m up, leaning 30 degrees: 0.25 m aside and 0.433 m up, shaft direction kept."""
    high = Geometry(0.0, 0.0, 0.0, 1.0, 0.5, 0.0, 0.0)
    pose = pose_of(high, roll=30 * DEGREE)
    assert pose.span == pytest.approx(math.hypot(1.0, 0.5))
    assert pose.tractor_angle == pytest.approx(math.atan(0.5))
    assert pose.machine_angle == pytest.approx(math.atan(0.5))


def test_a_wide_angle_joint_off_the_pivot_agrees_with_its_plane_triangle() -> None:
    """The pose against the closed form for one joint off the hitch pivot."""
    joints = Joints(wide_angle_at_tractor=True)
    for offset in (0.0, 0.05, 0.2):
        closed = wide_angle_offset(offset, 1.6, 0.9)
        pose = pose_of(flat(offset, 1.6), turn=0.9, joints=joints)
        assert pose.tractor_angle == pytest.approx(closed.wide_angle)
        assert pose.machine_angle == pytest.approx(closed.single_angle, abs=1e-12)
        assert excess_non_uniformity(pose.excess) == pytest.approx(closed.non_uniformity, abs=1e-12)


def test_an_angle_seen_from_both_sides_is_the_compound_angle() -> None:
    """tan² is the sum of the tan² in plan and in side view, at the tractor's joint."""
    pose = pose_of(CUTTER, turn=0.5, pitch=0.1)
    place = placing(0.5, 0.1, 0.0)
    x, y, z = place(*machine_joint_center(CUTTER, 0.0))
    ahead, _, up = tractor_joint_center(CUTTER)
    plan, side = math.atan(y / (ahead - x)), math.atan((z - up) / (ahead - x))
    assert math.tan(pose.tractor_angle) ** 2 == pytest.approx(
        math.tan(plan) ** 2 + math.tan(side) ** 2
    )


def unit(vector: Point) -> Point:
    length = math.hypot(*vector)
    return (vector[0] / length, vector[1] / length, vector[2] / length)


def cross(one: Point, other: Point) -> Point:
    return (
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    )


def dot(one: Point, other: Point) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def swing_of_two_crosses(axes: tuple[Point, Point, Point], in_phase: bool) -> float:
    """Greatest less least ratio of a tractor-tube-machine chain, turned step by step as vectors.

    Each cross has an arm in either yoke, square to each other and to the yoke's own shaft.
    """
    tractor, tube, machine = axes
    first = unit(cross(tractor, (0.0, 0.3, 0.9)))
    second = cross(tractor, first)
    reference = unit(cross(machine, (0.1, 0.9, 0.2)))
    across = cross(machine, reference)
    steps, turned = 3600, []
    for step in range(steps + 1):
        rotation = 2 * math.pi * step / steps
        sine, cosine = math.sin(rotation), math.cos(rotation)
        driving = (
            first[0] * cosine + second[0] * sine,
            first[1] * cosine + second[1] * sine,
            first[2] * cosine + second[2] * sine,
        )
        tube_front = unit(cross(tube, driving))
        tube_rear = tube_front if in_phase else cross(tube, tube_front)
        driven = cross(machine, tube_rear)
        turned.append(math.atan2(dot(driven, across), dot(driven, reference)))
    ratios = [
        math.remainder(after - before, 2 * math.pi) * steps / (2 * math.pi)
        for before, after in pairwise(turned)
    ]
    return max(ratios) - min(ratios)


@pytest.mark.parametrize("in_phase", [True, False])
@pytest.mark.parametrize(
    "motion",
    [(0.6, 0.0, 0.0, 0.0), (0.6, 0.1, 0.2, 0.0), (0.9, -0.15, 0.4, 0.1), (0, 0.2, 0, -0.2)],
)
def test_the_unevenness_is_that_of_two_crosses_in_space(
    motion: tuple[float, float, float, float], in_phase: bool
) -> None:
    """Integrated from vectors, for bends in one plane and in planes askew to each other."""
    turn, pitch, lift, roll = motion
    place = placing(turn, pitch, roll)
    start = tractor_joint_center(CUTTER)
    end = place(*machine_joint_center(CUTTER, lift))
    tube = unit((end[0] - start[0], end[1] - start[1], end[2] - start[2]))
    axes = ((-1.0, 0.0, 0.0), tube, place(-1.0, 0.0, 0.0))
    pose = pose_of(CUTTER, turn, pitch, lift, roll, Joints(in_phase=in_phase))
    assert excess_non_uniformity(pose.excess) == pytest.approx(
        swing_of_two_crosses(axes, in_phase), rel=1e-4
    )


# Descriptions


@pytest.mark.parametrize(
    ("pose", "codes"),
    [
        ((0.0, 0.0, 0.0, 0.0), "straight-ahead lowered"),
        ((1.0, 0.0, 0.4, 0.0), "full-left-turn raised"),
        ((-0.5, -0.1, 0.1, 0.0), "right-turn part-crest part-raised"),
        ((0.0, 0.3, 0.4, -0.1), "straight-ahead hollow raised leaning-right"),
    ],
)
def test_poses_are_described(pose: tuple[float, float, float, float], codes: str) -> None:
    """Full reach is called full; anything between is given in degrees or as a share."""
    reach = Reach(turn=1.0, crest=0.2, hollow=0.3, lift=0.4, roll=0.1)
    described = describe(Pose(*pose, 1.0, 0.0, 0.0, 0.0), reach, one_sided=True)
    assert [part.code for part in described] == codes.split()


def test_what_lies_between_the_ends_has_its_degrees_or_its_share() -> None:
    """0.5 rad are 29 degrees, 0.1 rad are 6, and 0.1 m of 0.4 a quarter."""
    reach = Reach(turn=1.0, crest=0.2, lift=0.4)
    turn, crest, lift = describe(Pose(0.5, -0.1, 0.1, 0.0, 1.0, 0.0, 0.0, 0.0), reach, True)
    assert turn.values == {"angle": Amount(math.radians(29), "rad")}
    assert crest.values == {"angle": Amount(math.radians(6), "rad")}
    assert lift.values == {"percent": "25%"}


def test_a_lean_in_a_turn_is_told_by_the_turn_where_both_sides_are_alike() -> None:
    """Left and right say nothing there; into and out of the turn do."""
    reach = Reach(turn=1.0, roll=0.1)
    into = Pose(1.0, 0.0, 0.0, 0.1, 1.0, 0.0, 0.0, 0.0)
    out = into._replace(turn=-1.0)
    straight = into._replace(turn=0.0)
    assert describe(into, reach, False) == (Phrase("full-turn"), Phrase("leaning-into-turn"))
    assert describe(out, reach, False) == (Phrase("full-turn"), Phrase("leaning-out-of-turn"))
    assert describe(straight, reach, False) == (Phrase("straight-ahead"), Phrase("leaning"))


# What must always hold

turns = st.floats(-1.0, 1.0)
pitches = st.floats(-0.25, 0.25)
lifts = st.floats(0.0, 0.5)
rolls = st.floats(-0.2, 0.2)


@given(turns, pitches, lifts, rolls, st.floats(-0.4, 0.4))
@settings(max_examples=80)
def test_left_and_right_are_mirror_images(
    turn: float, pitch: float, lift: float, roll: float, side: float
) -> None:
    """Mirrored machine, mirrored turn and lean: same span, angles and unevenness."""
    left = Geometry(0.356, 0.25, 0.08, 2.0, 0.35, side, 0.1)
    right = Geometry(0.356, 0.25, 0.08, 2.0, 0.35, -side, 0.1)
    one = pose_of(left, turn, pitch, lift, roll)
    other = pose_of(right, -turn, pitch, lift, -roll)
    assert one[4:] == pytest.approx(other[4:], abs=1e-9)


@given(turns, pitches, lifts, rolls, st.floats(0.1, 10))
@settings(max_examples=80)
def test_angles_do_not_depend_on_the_unit_of_length(
    turn: float, pitch: float, lift: float, roll: float, scale: float
) -> None:
    """Everything ten times as large: ten times the span, the same angles."""
    large = Geometry(*(getattr(CUTTER, name) * scale for name in CUTTER.__dataclass_fields__))
    one = pose_of(CUTTER, turn, pitch, lift, roll)
    other = pose_of(large, turn, pitch, lift * scale, roll)
    assert other.span == pytest.approx(one.span * scale)
    assert other.tractor_angle == pytest.approx(one.tractor_angle, abs=1e-9)
    assert other.machine_angle == pytest.approx(one.machine_angle, abs=1e-9)


@given(turns, pitches, rolls)
@settings(max_examples=80)
def test_turning_a_machine_never_changes_its_own_size(
    turn: float, pitch: float, roll: float
) -> None:
    """The placing keeps lengths and right angles."""
    place = placing(turn, pitch, roll)
    corners = [place(*corner) for corner in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
    for first, second in product(range(3), repeat=2):
        assert dot(corners[first], corners[second]) == pytest.approx(
            1.0 if first == second else 0.0, abs=1e-12
        )


@given(st.floats(0.0, 0.9), st.floats(0.01, 0.3))
@settings(max_examples=60)
def test_a_sharper_turn_shortens_and_bends_more(turn: float, more: float) -> None:
    """With the joint ahead of the pivot, as drawbar distances make it."""
    one, other = pose_of(CUTTER, turn), pose_of(CUTTER, turn + more)
    assert other.span < one.span
    assert other.tractor_angle > one.tractor_angle


# Refusals


@pytest.mark.parametrize(
    ("attempt", "field", "code"),
    [
        (lambda: pose_of(flat(0.3, 0.5), turn=2.6), "turn", "joint-bends-too-far"),
        (
            lambda: pose_of(Geometry(0.1, 0, 0, 0.3, 0, 0, 0, yoke_depth=0.2)),
            "turn",
            "yoke-seats-meet",
        ),
        (
            lambda: pose_of(Geometry(0.3, 0, 0, 2, 0, 0, 0, tongue_length=0.3), lift=0.4),
            "tongue_length",
            "tongue-too-short",
        ),
    ],
)
def test_a_pose_that_cannot_be_is_refused_with_what_to_check(
    attempt: Callable[[], Pose], field: str, code: str
) -> None:
    """Each refusal names its field."""
    with pytest.raises(RuleRefusal) as refusal:
        attempt()
    assert (refusal.value.field, refusal.value.code) == (field, code)
