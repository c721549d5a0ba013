"""The driveline over the machine's whole reach: extremes, their poses in words, and speed."""

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.driveline.extremes import Extremes
from prep.rules.driveline.joints import ratio_extremes
from prep.rules.driveline.pose import Reach, sweep
from prep.rules.phrase import Phrase
from tests.rules.driveline.cast import CUTTER, EVEN, pose_of

DEGREE = math.pi / 180


def worst_poses(turn: float = 0.0, **changes: float | str | bool) -> Extremes:
    """The rule on the invented cutter, with changes."""
    inputs: dict[str, float | str | bool] = {
        "pto_ahead": 0.356,
        "pto_height": 0.25,
        "tractor_joint": 0.08,
        "input_behind": 2.0,
        "input_height": 0.35,
        "machine_joint": 0.10,
        "turn": turn,
    }
    answer = RULES["driveline.extremes"](**(inputs | changes))
    assert isinstance(answer, Extremes)
    return answer


# The sweep


def codes(pose: tuple[Phrase, ...]) -> list[str]:
    """The codes of a pose."""
    return [part.code for part in pose]


def test_ten_thousand_poses_take_well_under_a_second() -> None:
    """Pure Python; one second leaves room for a slow and busy machine."""
    reach = Reach(turn=1.2, crest=0.2, hollow=0.2, lift=0.4, roll=0.1)
    start = time.process_time()
    swept = sweep(CUTTER, reach, EVEN)
    assert swept.count >= 10_000
    assert time.process_time() - start < 1.0


def test_the_worst_poses_are_named_as_a_technician_would_set_them_up() -> None:
    """Words for turn, ground and height; a motion that is not there is not named."""
    answer = worst_poses(turn=60 * DEGREE, crest=0.15, hollow=0.15, lift=0.3)
    assert codes(answer.longest_pose) == ["straight-ahead", "crest", "raised"]
    assert codes(answer.shortest_pose) == ["full-turn", "hollow", "lowered"]
    assert codes(answer.tractor_angle_pose) == ["full-turn", "hollow", "raised"]
    assert codes(worst_poses(turn=0.5).longest_pose) == ["straight-ahead"]


def test_a_machine_off_the_middle_names_its_worst_side() -> None:
    """An input shaft to the left runs shortest in a left turn, one to the right in a right turn."""
    assert codes(worst_poses(turn=0.9, input_side=0.4).shortest_pose) == ["full-left-turn"]
    assert codes(worst_poses(turn=0.9, input_side=-0.4).shortest_pose) == ["full-right-turn"]


def test_phase_and_wide_angle_joints_change_the_unevenness_and_nothing_else() -> None:
    """Lengths and angles are geometry; what the joints are made of is not."""
    reach = {"turn": 0.6, "pto_height": 0.35}
    phased, wrong = worst_poses(**reach), worst_poses(**reach, in_phase=False)
    assert (phased.shortest, phased.machine_angle) == (wrong.shortest, wrong.machine_angle)
    assert phased.machine_non_uniformity < wrong.machine_non_uniformity
    even = worst_poses(**reach, wide_angle="both")
    assert (even.tube_non_uniformity, even.machine_non_uniformity) == (0.0, 0.0)
    single = worst_poses(**reach, wide_angle="tractor")
    assert single.machine_non_uniformity == pytest.approx(
        ratio_extremes(single.machine_angle).non_uniformity
    )


@given(st.floats(0.05, 1.0), st.floats(0.0, 0.2), st.floats(0.0, 0.2), st.floats(0.0, 0.4))
@settings(max_examples=15)
def test_no_pose_within_reach_beats_the_swept_extremes(
    turn: float, crest: float, hollow: float, lift: float
) -> None:
    """Poses between the steps exceed the extremes by less than a tenth of a millimeter."""
    swept = sweep(CUTTER, Reach(turn, crest, hollow, lift), EVEN)
    for share in (0.123, 0.457, 0.789):
        pose = pose_of(
            CUTTER, turn * (2 * share - 1), hollow * share - crest * (1 - share), lift * share
        )
        assert swept.shortest.span - 1e-4 <= pose.span <= swept.longest.span + 1e-4
        assert pose.tractor_angle <= swept.tractor_bend.tractor_angle + 1e-3
        assert pose.machine_angle <= swept.machine_bend.machine_angle + 1e-3


@given(st.floats(0.0, 1.0), st.floats(0.01, 0.2))
@settings(max_examples=10)
def test_more_reach_never_asks_less(turn: float, more: float) -> None:
    """Wider reach: longer longest, shorter shortest, larger angles."""
    small, large = (sweep(CUTTER, Reach(angle, 0.1, 0.1), EVEN) for angle in (turn, turn + more))
    assert large.longest.span >= small.longest.span - 1e-4
    assert large.shortest.span <= small.shortest.span
    assert large.tractor_bend.tractor_angle >= small.tractor_bend.tractor_angle


# Refusals


@pytest.mark.parametrize(
    ("changes", "field", "code"),
    [
        ({"turn": -0.1}, "turn", "out-of-range"),
        ({"turn": math.nan}, "turn", "not-a-number"),
        ({"input_behind": 2000.0}, "input_behind", "out-of-range"),
        ({"wide_angle": "middle"}, "wide_angle", "not-a-choice"),
        ({"yoke_depth": 0.3, "input_behind": 0.3}, "turn", "yoke-seats-meet"),
    ],
)
def test_input_that_cannot_be_is_refused_by_name(
    changes: dict[str, float | str], field: str, code: str
) -> None:
    """Out of range, not a number, unknown, impossible together."""
    with pytest.raises(RuleRefusal) as refusal:
        worst_poses(**changes)  # type: ignore[arg-type]  # one of the keys is the turn itself
    assert (refusal.value.field, refusal.value.code) == (field, code)
