"""Blades: tip speed and its trap, hand, weight, overlap, and torque both ways."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.deck import blades
from prep.rules.deck.blades import TorquePair

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
FOOT_PER_MINUTE = 0.00508
FOOT_POUND = 1.3558179483314004

circles = st.floats(0.1, 3.0)


@pytest.mark.parametrize(
    ("inches", "rpm", "feet_per_minute"),
    [(19, 4000, 19_897), (22, 4000, 23_038), (21, 3400, 18_692), (72, 800, 15_080)],
)
def test_tip_speed_of_published_and_computed_pairs(
    inches: float, rpm: float, feet_per_minute: int
) -> None:
    """19 and 22 in at 4000 rpm are published; the other two computed."""
    speed = blades.tip_speed(inches * INCH, rpm / 60)
    assert round(speed / FOOT_PER_MINUTE) == feet_per_minute


def test_seventy_two_inches_at_eight_hundred_turns_in_meters() -> None:
    """Computed: 76.6 m/s."""
    assert round(blades.tip_speed(72 * INCH, 800 / 60), 1) == 76.6


def test_a_blade_is_as_long_as_its_circle_is_wide_and_not_half_of_it() -> None:
    """A published answer of 37 400 ft/min took 21 in as the radius: twice too fast."""
    right = blades.tip_speed(21 * INCH, 3400 / 60)
    mistaken = blades.tip_speed(2 * 21 * INCH, 3400 / 60) / FOOT_PER_MINUTE
    assert mistaken == pytest.approx(37_400, rel=1e-3)
    assert mistaken == pytest.approx(2 * right / FOOT_PER_MINUTE)


def test_the_largest_blade_at_3600_turns_is_just_over_twenty_inches() -> None:
    """Published; computed 20.16 in."""
    diameter = blades.largest_tip_circle(19_000 * FOOT_PER_MINUTE, 60.0)
    assert round(diameter / INCH, 2) == 20.16


@pytest.mark.parametrize(("rpm", "per_second"), [(540, 9.0), (1000, 16.667), (1300, 21.667)])
def test_pto_speeds_in_turns_a_second(rpm: float, per_second: float) -> None:
    """540 and 1000 rpm published as 9 and 16.7 turns a second."""
    assert round(blades.spindle_speed(rpm / 60, (1.0,)), 3) == per_second


@many
@given(st.floats(1, 30), st.lists(st.floats(0.3, 3), min_size=1, max_size=4))
def test_ratios_multiply_in_any_order(speed: float, ratios: list[float]) -> None:
    """Gears in a row, taken from either end."""
    forth = blades.spindle_speed(speed, tuple(ratios))
    assert blades.spindle_speed(speed, tuple(reversed(ratios))) == pytest.approx(forth)
    logs = math.log(speed) + math.fsum(map(math.log, ratios))
    assert math.log(forth) == pytest.approx(logs, abs=1e-9)


@many
@given(circles, st.floats(1, 100))
def test_the_largest_circle_for_its_own_speed_is_the_circle(circle: float, speed: float) -> None:
    """v = pi D n both ways."""
    tip = blades.tip_speed(circle, speed)
    assert blades.largest_tip_circle(tip, speed) == pytest.approx(circle, rel=1e-12)


# Advisory


def test_the_turf_figure_advises_and_states_its_scope() -> None:
    """ANSI B71.1 and B71.4, 19 000 ft/min: turf-care mowers, not large rotary mowers."""
    advisory = blades.tip_speed_advisory(19_001 * FOOT_PER_MINUTE)
    assert advisory.finding == "above-published"
    assert advisory.scope == "turf-care-mowers"
    assert round(advisory.published, 1) == 96.5


def test_the_turf_figure_itself_is_not_above_it() -> None:
    """19 000 ft/min exactly."""
    advisory = blades.tip_speed_advisory(19_000 * FOOT_PER_MINUTE)
    assert (advisory.finding, advisory.margin) == ("not-above-published", 0)


# Hand


@pytest.mark.parametrize(
    ("reversals", "spindle"),
    [(0, "clockwise"), (1, "counter-clockwise"), (2, "clockwise"), (3, "counter-clockwise")],
)
def test_each_mesh_turns_the_rotation_round(reversals: int, spindle: str) -> None:
    """Common practice, no published source."""
    hand = blades.hand("clockwise", reversals, spindle)
    assert (hand.spindle, hand.finding) == (spindle, "edge-leads")


def test_a_blade_of_the_wrong_hand_trails() -> None:
    """A blade on the wrong spindle or upside down cuts with its back."""
    assert blades.hand("counter-clockwise", 2, "clockwise").finding == "edge-trails"


# Weight


@pytest.mark.parametrize(("second", "finding"), [(8.03, "matched"), (8.031, "unmatched")])
def test_a_pair_may_differ_by_what_the_model_allows(second: float, finding: str) -> None:
    """The edge itself is matched, from either side."""
    assert blades.pair_weights(8.0, second, 0.03).finding == finding
    assert blades.pair_weights(second, 8.0, 0.03).finding == finding


def test_an_unmatched_pair_is_exchanged_and_not_ground() -> None:
    """Common practice, no published source."""
    advice = blades.pair_weights(8.0, 8.05, 0.03).advice
    assert advice is not None
    assert advice.do == "fit-matched-blades"
    assert (advice.amount, advice.unit) == (0.05, "kg")


@many
@given(st.floats(0.001, 1), st.floats(0.1, 2), st.floats(1, 30))
def test_unbalance_grows_with_the_square_of_the_speed(
    difference: float, radius: float, speed: float
) -> None:
    """m v^2 / r with v from the tip-speed rule, an independent form."""
    force = blades.unbalanced_force(difference, radius, speed)
    v = blades.tip_speed(2 * radius, speed)
    assert force == pytest.approx(difference * v**2 / radius)
    assert blades.unbalanced_force(difference, radius, 2 * speed) == pytest.approx(4 * force)


# Overlap and width


def test_staggered_spindles_overlap_by_their_distance_across() -> None:
    """A 3-4-5 triangle: 50 in apart, 30 in staggered, is 40 in across."""
    overlap = blades.overlap(42 * INCH, 42 * INCH, 50 * INCH, 30 * INCH)
    assert overlap.overlap / INCH == pytest.approx(2)
    assert overlap.finding == "overlap"


def test_circles_that_only_touch_leave_a_strip() -> None:
    """Nothing overlaps at the limit itself."""
    overlap = blades.overlap(1.0, 1.0, 1.0, 0.0)
    assert (overlap.overlap, overlap.finding) == (0.0, "uncut-strip")


@many
@given(st.floats(0.5, 2), st.floats(0.5, 2), st.floats(1, 2), st.floats(0, 0.9))
def test_overlap_is_symmetric_and_grows_with_stagger(
    one: float, other: float, distance: float, stagger: float
) -> None:
    """Neighbors exchanged; spindles moved out of line."""
    overlap = blades.overlap(one, other, distance, stagger).overlap
    assert blades.overlap(other, one, distance, stagger).overlap == overlap
    assert blades.overlap(one, other, distance, stagger + 0.05).overlap >= overlap


@many
@given(circles, circles, st.floats(0.5, 2))
def test_two_spindles_cut_from_outer_tip_to_outer_tip(
    one: float, other: float, distance: float
) -> None:
    """Closed form: half of each circle and the distance between."""
    overlap = (one + other) / 2 - distance
    width = blades.cut_width((one, other), (overlap,))
    assert width == pytest.approx(one / 2 + distance + other / 2)


def test_a_stagger_as_long_as_the_distance_is_refused() -> None:
    """The hypotenuse is the longest side."""
    with pytest.raises(RuleRefusal, match="stagger-too-long") as refusal:
        blades.overlap(1.0, 1.0, 1.0, 1.0)
    assert refusal.value.field == "stagger"


def test_one_overlap_too_many_is_refused() -> None:
    """Three spindles have two neighbors' overlaps."""
    with pytest.raises(RuleRefusal, match="one-overlap-for-each-pair") as refusal:
        blades.cut_width((1.0, 1.0, 1.0), (0.1,))
    assert refusal.value.field == "overlaps"


# Torque


def pair(bolt: float, carrier: float, slot_in_line: bool = True) -> TorquePair:
    """In foot-pounds: an invented bolt at 430 to 470, a carrier nut at a manual's 250 to 350."""
    window = (430 * FOOT_POUND, 470 * FOOT_POUND)
    carrier_window = (250 * FOOT_POUND, 350 * FOOT_POUND)
    return blades.torque_pair(
        bolt * FOOT_POUND, *window, carrier * FOOT_POUND, *carrier_window, slot_in_line
    )


@pytest.mark.parametrize(
    ("bolt", "finding"),
    [
        (429, "too-loose"),
        (430, "conforms"),
        (470, "conforms"),
        (471, "too-tight"),
    ],
)
def test_a_blade_bolt_is_judged_both_ways(bolt: float, finding: str) -> None:
    """One sheared on the first day after over-tightening; both edges conform."""
    assert pair(bolt, 300).bolt == finding


@pytest.mark.parametrize(
    ("carrier", "finding"),
    [(249, "too-loose"), (250, "conforms"), (350, "conforms"), (351, "too-tight")],
)
def test_a_carrier_nut_is_judged_both_ways(carrier: float, finding: str) -> None:
    """A manufacturer's manual: 250 to 350 lbf-ft."""
    assert pair(450, carrier).carrier == finding


def test_a_slot_is_reached_by_tightening_and_never_by_backing_off() -> None:
    """Torque to spec, then on to the next slot."""
    bolt_pair = pair(450, 300, slot_in_line=False)
    assert bolt_pair.carrier == "slot-not-in-line"
    (advice,) = bolt_pair.advice
    assert advice.do == "tighten-to-next-slot"
    assert advice.amount == pytest.approx(350 * FOOT_POUND)


def test_a_loose_nut_comes_before_its_slot() -> None:
    """Torque to spec first."""
    assert pair(450, 200, slot_in_line=False).carrier == "too-loose"


def test_too_loose_is_tightened_and_too_tight_is_taken_off() -> None:
    """Bolt first, carrier second."""
    bolt_pair = pair(400, 400)
    assert [(one.do, one.unit) for one in bolt_pair.advice] == [
        ("tighten-blade-bolt", "N·m"),
        ("redo-carrier-nut", "N·m"),
    ]
    amounts = [one.amount / FOOT_POUND for one in bolt_pair.advice]
    assert amounts == pytest.approx([430, 350])


@pytest.mark.parametrize("part", ["bolt", "carrier"])
def test_a_window_upside_down_names_its_part(part: str) -> None:
    """Model data entered the wrong way round."""
    inputs = {
        "bolt": 600.0,
        "bolt_least": 580.0,
        "bolt_most": 640.0,
        "carrier": 400.0,
        "carrier_least": 340.0,
        "carrier_most": 470.0,
        "slot_in_line": True,
    }
    with pytest.raises(RuleRefusal) as refusal:
        RULES["blades.torque_pair"](**inputs | {f"{part}_most": 100.0})
    assert refusal.value.field == f"{part}_most"
