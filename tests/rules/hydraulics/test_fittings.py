"""Flare connections by dash size."""

import math

import pytest

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.hydraulics.fittings import DASHES, flare_torque, flare_turn, flats_turned

FOOT_POUND = 1.3558179483314

# Implement manuals for SAE J514 37° flares, lubricated: dash, thread, lbf-ft and N·m as printed.
OLDER = [
    (3, "3/8-24", 6, 8), (4, "7/16-20", 9, 12), (5, "1/2-20", 12, 16), (6, "9/16-18", 18, 24),
    (8, "3/4-16", 34, 46), (10, "7/8-14", 46, 62), (12, "1-1/16-12", 75, 102),
    (14, "1-3/16-12", 90, 122), (16, "1-5/16-12", 105, 142), (20, "1-5/8-12", 140, 190),
    (24, "1-7/8-12", 160, 217),
]  # fmt: skip
NEWER = [(4, 11, 12), (5, 14, 16), (6, 20, 22), (8, 44, 48), (10, 50, 58), (12, 79, 88),
         (16, 117, 125)]  # fmt: skip


@pytest.mark.parametrize(("dash", "thread", "foot_pounds", "newton_meters"), OLDER)
def test_older_chart_is_reproduced_in_both_printed_units(
    dash: int, thread: str, foot_pounds: int, newton_meters: int
) -> None:
    """Three implement manuals agree; the metric column is the same figure rounded."""
    torque = flare_torque(dash)
    assert torque.thread == thread
    assert torque.least == torque.greatest
    assert torque.least / FOOT_POUND == pytest.approx(foot_pounds)
    assert torque.least == pytest.approx(newton_meters, abs=0.51)


@pytest.mark.parametrize(("dash", "least", "greatest"), NEWER)
def test_newer_chart_gives_a_window(dash: int, least: int, greatest: int) -> None:
    """Two newer manuals."""
    torque = flare_torque(dash, "newer")
    assert torque.least / FOOT_POUND == pytest.approx(least)
    assert torque.greatest / FOOT_POUND == pytest.approx(greatest)


@pytest.mark.parametrize("dash", [3, 14, 20, 24])
def test_sizes_the_newer_chart_leaves_out_are_refused(dash: int) -> None:
    """A missing figure is not made up from its neighbors."""
    with pytest.raises(RuleRefusal) as refusal:
        flare_torque(dash, "newer")
    assert refusal.value.field == "dash"


def test_a_dash_that_is_not_made_is_refused() -> None:
    """There is no size 7."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["fittings.flare_torque"](dash=7)
    assert refusal.value.field == "dash"


def test_small_sizes_turn_two_flats_and_large_ones_one() -> None:
    """SAE J514 practice in implement manuals; which size is the last small one: from memory."""
    assert flare_turn(4).flats == 2
    assert flare_turn(24).flats == 1
    assert math.degrees(flare_turn(24).angle) == pytest.approx(60)


def test_larger_fittings_take_more_torque_and_no_more_turn() -> None:
    """Both charts and the turn are monotone in the size."""
    torques = [flare_torque(dash).least for dash in DASHES]
    turns = [flare_turn(dash).flats for dash in DASHES]
    assert torques == sorted(torques)
    assert turns == sorted(turns, reverse=True)


@pytest.mark.parametrize("dash", DASHES)
def test_flats_and_angle_say_the_same(dash: int) -> None:
    """One flat is a sixth of a turn."""
    turn = flare_turn(dash)
    assert flats_turned(turn.angle) == pytest.approx(turn.flats)
