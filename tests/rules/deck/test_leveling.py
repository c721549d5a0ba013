"""Level, pitch and wings, and how far to turn which rod."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.deck import leveling
from prep.rules.deck.leveling import HeightFinding, RodTurns
from prep.rules.phrase import Token

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
EIGHT_PER_INCH = INCH / 8


def turns(
    rise: float,
    threads: str = "opposite",
    ratio: float = 1.0,
    longer: str = "raises",
    near_thread: str = "right",
    rods: int = 2,
) -> RodTurns:
    """Turns of an eight-per-inch rod."""
    return leveling.rod_turns(rise, EIGHT_PER_INCH, threads, ratio, longer, near_thread, rods)


def pitch(front: float, rear: float, least: float, most: float) -> HeightFinding:
    """Pitch in inches, one opposite-threaded rod that raises the front as it grows."""
    heights = (front * INCH, rear * INCH, least * INCH, most * INCH)
    return leveling.pitch(*heights, EIGHT_PER_INCH, "opposite", 1.0, "raises", "right", 1)


def wing(center: float, height: float, tolerance: float) -> HeightFinding:
    """A wing in inches, one rod that raises it as it grows."""
    heights = (center * INCH, height * INCH, tolerance * INCH)
    return leveling.wing(*heights, EIGHT_PER_INCH, "opposite", 1.0, "raises", "right")


# Slope


@pytest.mark.parametrize(
    ("rise", "base", "degrees"),
    [(1, 60, 0.955), (1, 72, 0.796), (0.5, 60, 0.477), (0.25, 60, 0.239)],
)
def test_a_tip_lower_than_the_other_is_a_small_angle(
    rise: float, base: float, degrees: float
) -> None:
    """atan(rise / base), computed from a published relation."""
    slope = leveling.slope_from_heights(3 * INCH, (3 + rise) * INCH, base * INCH)
    assert round(math.degrees(slope.angle), 3) == degrees


def test_ten_millimeters_in_a_meter_are_half_a_degree() -> None:
    """Published: 10 mm per m = 0.573 deg."""
    slope = leveling.slope_from_heights(0.1, 0.11, 1.0)
    assert round(math.degrees(slope.angle), 3) == 0.573
    assert slope.rise_over_run == pytest.approx(0.010)


@pytest.mark.parametrize(
    ("degrees", "mm_per_m", "inches_per_foot", "percent"),
    [
        (0.1, 1.745, 0.0209, 0.175),
        (0.25, 4.363, 0.0524, 0.436),
        (0.5, 8.727, 0.1047, 0.873),
        (1, 17.455, 0.2095, 1.746),
        (2, 34.921, 0.4190, 3.492),
    ],
)
def test_an_angle_reads_the_same_in_every_unit_of_slope(
    degrees: float, mm_per_m: float, inches_per_foot: float, percent: float
) -> None:
    """Published slope conversions; the rows are computed."""
    slope = leveling.slope_from_angle(math.radians(degrees)).rise_over_run
    assert round(slope * 1000, 3) == mm_per_m
    assert round(slope * 12, 4) == inches_per_foot
    assert slope * 100 == pytest.approx(percent, abs=6e-4)


def test_a_bubble_one_mark_off_is_the_vials_own_tilt() -> None:
    """A vial of 1 mm/m: 0.05730 deg for each mark, computed."""
    slope = leveling.slope_from_bubble(1, math.atan(0.001))
    assert round(math.degrees(slope.angle), 5) == 0.05730
    assert leveling.slope_from_bubble(0, 0.001).rise_over_run == 0


@many
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0.5, 5))
def test_changing_the_ends_changes_only_the_sign(one: float, other: float, base: float) -> None:
    """Symmetric, and an angle gauge agrees with two heights."""
    forth = leveling.slope_from_heights(one, other, base)
    assert leveling.slope_from_heights(other, one, base).angle == -forth.angle
    gauge = leveling.slope_from_angle(max(-1.0, min(1.0, forth.angle)))
    if abs(forth.angle) < 1:
        assert gauge.rise_over_run == pytest.approx(forth.rise_over_run, abs=1e-12)


# Rods


@pytest.mark.parametrize(
    ("per_inch", "inches", "millimeters"),
    [
        (4.5, 0.444, 11.29),
        (5, 0.400, 10.16),
        (6, 0.333, 8.47),
        (7, 0.286, 7.26),
        (8, 0.250, 6.35),
        (9, 0.222, 5.64),
        (10, 0.200, 5.08),
    ],
)
def test_a_turnbuckle_moves_two_threads_a_turn(
    per_inch: float, inches: float, millimeters: float
) -> None:
    """Both ends move: 2 / tpi in, 50.8 / tpi mm, computed; a single thread moves half of that."""
    travel = leveling.rod_travel(1, INCH / per_inch, "opposite")
    assert round(travel / INCH, 3) == inches
    assert round(travel * 1000, 2) == millimeters
    assert leveling.rod_travel(1, INCH / per_inch, "one") == travel / 2


def test_three_turns_of_an_eight_per_inch_turnbuckle_are_three_quarters() -> None:
    """Computed: 0.75 in, 19.05 mm."""
    travel = leveling.rod_travel(3, EIGHT_PER_INCH, "opposite")
    assert travel == pytest.approx(0.01905, rel=1e-12)


def test_the_advice_says_how_far_which_way_and_from_where() -> None:
    """One and a half turns of both rods."""
    advice = turns(0.375 * INCH).advice
    assert advice is not None
    assert advice.do == "lengthen-rods"
    assert advice.values == {"direction": Token("clockwise"), "hand": Token("right-hand-thread")}
    assert advice.amount == pytest.approx(1.5)
    assert advice.unit == "1"


def test_one_rod_is_called_the_rod() -> None:
    """A single rod is not called both."""
    advice = turns(0.01, rods=1).advice
    assert advice is not None
    assert advice.do == "lengthen-rod"


@pytest.mark.parametrize(
    ("rise", "longer", "near_thread", "becomes", "direction"),
    [
        (0.01, "raises", "right", "longer", "clockwise"),
        (0.01, "raises", "left", "longer", "counter-clockwise"),
        (0.01, "lowers", "right", "shorter", "counter-clockwise"),
        (0.01, "lowers", "left", "shorter", "clockwise"),
        (-0.01, "raises", "right", "shorter", "counter-clockwise"),
        (-0.01, "raises", "left", "shorter", "clockwise"),
        (-0.01, "lowers", "right", "longer", "clockwise"),
        (-0.01, "lowers", "left", "longer", "counter-clockwise"),
    ],
)
def test_direction_follows_from_the_hand_of_the_thread(
    rise: float, longer: str, near_thread: str, becomes: str, direction: str
) -> None:
    """A nut turned clockwise on a right-hand thread moves away from who looks at it."""
    rod = turns(rise, longer=longer, near_thread=near_thread)
    assert (rod.becomes, rod.direction) == (becomes, direction)
    assert (rod.length_change > 0) == (becomes == "longer")


@many
@given(
    st.floats(-0.3, 0.3).filter(lambda rise: abs(rise) > 1e-6),
    st.sampled_from(["opposite", "one"]),
    st.floats(0.1, 5),
    st.sampled_from(["raises", "lowers"]),
)
def test_the_turns_advised_give_the_rise_wanted(
    rise: float, threads: str, ratio: float, longer: str
) -> None:
    """Through the linkage and back; twice as far takes twice the turns."""
    rod = turns(rise, threads=threads, ratio=ratio, longer=longer)
    sign = 1 if longer == "raises" else -1
    assert sign * ratio * rod.length_change == pytest.approx(rise)
    travel = leveling.rod_travel(rod.turns, EIGHT_PER_INCH, threads)
    assert travel == pytest.approx(abs(rod.length_change))
    assert turns(2 * rise, threads=threads, ratio=ratio).turns == pytest.approx(2 * rod.turns)


def test_nothing_to_change_is_nothing_to_turn() -> None:
    """No advice when the height is right."""
    rod = turns(0.0)
    assert (rod.turns, rod.becomes, rod.advice) == (0.0, "unchanged", None)


# Pitch


@pytest.mark.parametrize(
    ("front", "rear", "finding"),
    [
        (3.0, 4.0, "conforms"),
        (3.0, 3.75, "conforms"),
        (3.0, 4.25, "conforms"),
        (3.0, 3.7, "front-not-low-enough"),
        (3.0, 3.0, "front-not-low-enough"),
        (3.0, 4.3, "front-too-low"),
        (3.0, 2.9, "rear-lower-than-front"),
    ],
)
def test_pitch_is_judged_by_the_models_window(front: float, rear: float, finding: str) -> None:
    """A three-point brush cutter runs about 1 in lower in front (one manual); edges belong."""
    assert pitch(front, rear, 0.75, 1.25).finding == finding


def test_a_deck_set_dead_level_is_told_how_to_drop_its_front() -> None:
    """1 in wanted, 0 found, 1/4 in a turn: four turns shorter."""
    finding = pitch(3.0, 3.0, 0.75, 1.25)
    assert finding.difference == 0
    assert finding.rod is not None
    assert finding.rod.turns == pytest.approx(4)
    assert finding.rod.becomes == "shorter"


def test_a_model_that_wants_both_ends_within_half_an_inch_has_its_own_window() -> None:
    """Manufacturers differ: one within 1/2 in of the same height."""
    assert pitch(3.0, 2.6, -0.5, 0.5).finding == "conforms"
    assert pitch(3.0, 2.4, -0.5, 0.5).finding == "rear-lower-than-front"


@many
@given(st.floats(1, 10), st.floats(1, 10), st.floats(0, 1), st.floats(0, 1))
def test_turning_as_advised_brings_the_pitch_to_the_middle(
    front: float, rear: float, least: float, width: float
) -> None:
    """Front raised by what the rod gains, then judged again."""
    finding = pitch(front, rear, least, least + width)
    if finding.rod is None:
        assert finding.finding == "conforms"
        return
    after = front * INCH + finding.rod.length_change
    assert rear * INCH - after == pytest.approx((least + width / 2) * INCH, abs=1e-8)


def test_a_window_upside_down_is_refused_by_name() -> None:
    """Model data entered the wrong way round."""
    with pytest.raises(RuleRefusal, match="window-swapped") as refusal:
        pitch(3.0, 4.0, 1.25, 0.75)
    assert refusal.value.field == "most_lower"


# Wings


@pytest.mark.parametrize(
    ("height", "finding"),
    [
        (3.0, "conforms"),
        (3.25, "conforms"),
        (2.75, "conforms"),
        (3.26, "wing-high"),
        (2.74, "wing-low"),
    ],
)
def test_a_wing_may_differ_by_what_the_model_allows(height: float, finding: str) -> None:
    """1/4 in side to side in three manuals; the edge itself conforms."""
    assert wing(3.0, height, 0.25).finding == finding


def test_a_high_wing_is_brought_down_to_the_center() -> None:
    """Half an inch high, a quarter a turn."""
    finding = wing(3.0, 3.5, 0.25)
    assert finding.difference == pytest.approx(0.5 * INCH)
    assert finding.rod is not None
    assert finding.rod.turns == pytest.approx(2)
    assert finding.rod.becomes == "shorter"


def test_a_lead_of_nothing_is_refused_by_name() -> None:
    """A rod without a thread cannot be turned to length."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["leveling.rod_travel"](turns=1, lead=0, threads="one")
    assert refusal.value.field == "lead"


@pytest.mark.parametrize(
    ("inches_per_foot", "degrees", "mm_per_m"),
    [
        (1 / 16, 0.2984, 5.208),
        (1 / 8, 0.5968, 10.417),
        (1 / 4, 1.1935, 20.833),
        (1, 4.7636, 83.333),
    ],
)
def test_a_carpenters_slope_in_degrees_and_millimeters_a_meter(
    inches_per_foot: float, degrees: float, mm_per_m: float
) -> None:
    """Published conversions of inches to the foot (the relation is published, rows computed)."""
    slope = leveling.slope_from_heights(0.0, inches_per_foot / 12, 1.0)
    assert round(math.degrees(slope.angle), 4) == degrees
    assert round(slope.rise_over_run * 1000, 3) == mm_per_m
