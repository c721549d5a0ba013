"""Stages, star order and prevailing torque."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.fastening.tightening import (
    TorqueWindow,
    cross_pattern,
    stages,
    with_prevailing_torque,
)

CIRCLES = range(3, 129)


def apart(studs: int, one: int, other: int) -> int:
    """Studs from one to the other the short way round."""
    return min((one - other) % studs, (other - one) % studs)


@pytest.mark.parametrize(
    ("studs", "order"),
    [
        (3, (1, 2, 3)),
        (4, (1, 3, 2, 4)),
        (5, (1, 3, 5, 2, 4)),
        (6, (1, 4, 2, 5, 3, 6)),
    ],
)
def test_wheel_patterns_are_those_the_trade_draws(studs: int, order: tuple[int, ...]) -> None:
    """Public wheel guides: across, then diagonal; five nuts as a star."""
    assert cross_pattern(studs) == order


@pytest.mark.parametrize(
    ("studs", "order"),
    [
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
        (16, (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16)),
        (20, (1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19)),
    ],
)
def test_flange_patterns_are_those_of_the_flange_standard(
    studs: int, order: tuple[int, ...]
) -> None:
    """ASME PCC-1, legacy pattern: value from memory."""
    assert cross_pattern(studs) == order


def test_ten_studs_go_across_and_round_a_star_of_five() -> None:
    """Common practice for truck and cart hubs, no published source: each pair opposite."""
    assert cross_pattern(10) == (1, 6, 3, 8, 5, 10, 2, 7, 4, 9)


@pytest.mark.parametrize("studs", CIRCLES)
def test_every_nut_is_turned_once(studs: int) -> None:
    """No nut forgotten, none twice, the first at the top."""
    order = cross_pattern(studs)
    assert sorted(order) == list(range(1, studs + 1))
    assert order[0] == 1


@pytest.mark.parametrize("studs", CIRCLES)
def test_the_next_nut_lies_across_the_circle(studs: int) -> None:
    """Even: every second step is straight across; odd: every step is as far as there is."""
    order = cross_pattern(studs)
    steps = [apart(studs, one, other) for one, other in pairwise(order)]
    if studs % 2:
        assert set(steps) == {studs // 2}
    else:
        assert set(steps[::2]) == {studs // 2}


@pytest.mark.parametrize("studs", [studs for studs in CIRCLES if studs > 4])
def test_neighbors_never_follow_one_another(studs: int) -> None:
    """From five studs on; with three or four it cannot be helped."""
    order = cross_pattern(studs)
    assert all(apart(studs, one, other) > 1 for one, other in pairwise(order))


@pytest.mark.parametrize("studs", [2, 0, -4, 129, 4.5])
def test_a_circle_that_cannot_be_is_refused(studs: float) -> None:
    """Three studs at least, whole ones."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["tightening.cross_pattern"](studs=studs)
    assert refusal.value.field == "studs"


def test_stages_end_exactly_at_the_final_torque() -> None:
    """The last reading is held against the figure the manufacturer prints."""
    assert stages(122.0)[-1] == 122.0
    assert stages(100.0, (0.5, 1.0)) == (50.0, 100.0)


@pytest.mark.parametrize(
    "fractions", [(), (0.3, 0.6), (0.6, 0.3, 1.0), (0.5, 0.5, 1.0), (1.0, 1.0)]
)
def test_stages_that_do_not_rise_to_one_are_refused(fractions: tuple[float, ...]) -> None:
    """Empty, short of the final torque, falling, standing still."""
    with pytest.raises(RuleRefusal) as refusal:
        stages(100.0, fractions)
    assert refusal.value.field == "fractions"


def test_drag_of_a_locknut_is_added_to_both_ends() -> None:
    """FAA AC 43.13-1B, 7-40: run-down drag plus the specified torque."""
    assert with_prevailing_torque(50.0, 70.0, 8.0) == TorqueWindow(58.0, 78.0)


def test_a_torque_range_the_wrong_way_round_is_refused() -> None:
    """Least above greatest."""
    with pytest.raises(RuleRefusal) as refusal:
        with_prevailing_torque(70.0, 50.0, 8.0)
    assert refusal.value.field == "greatest"


@settings(max_examples=60)
@given(
    final=st.floats(1, 10_000),
    fractions=st.lists(st.floats(0.05, 0.99), max_size=6, unique=True).map(sorted),
)
def test_each_stage_is_tighter_than_the_last_and_scales_with_the_joint(
    final: float, fractions: list[float]
) -> None:
    """Stages rise, and a joint of twice the torque has twice each stage, in any unit."""
    shares = (*fractions, 1.0)
    torques = stages(final, shares)
    assert all(lower < upper for lower, upper in pairwise(torques))
    assert stages(2 * final, shares) == pytest.approx([2 * torque for torque in torques])
