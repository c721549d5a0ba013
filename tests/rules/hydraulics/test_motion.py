"""How cylinders move, hold and leak, against published worked examples."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.hydraulics import motion

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
CUBIC_INCH = INCH**3
LBF = 4.4482216152605
PSI = 6894.757293168361
GALLON_PER_MINUTE = 231 * CUBIC_INCH / 60

bores = st.floats(0.02, 0.3)
rod_shares = st.floats(0.0, 0.95)
loads = st.floats(100.0, 2e5)


@pytest.mark.parametrize(("direction", "inches"), [("extend", 2.04), ("retract", 2.72)])
def test_fifteen_gallons_a_minute_move_a_six_inch_cylinder(direction: str, inches: float) -> None:
    """Formula page, 231 gpm / (60 A); figures computed."""
    speed = motion.speed(6 * INCH, 3 * INCH, 15 * GALLON_PER_MINUTE, direction)
    assert round(speed / INCH, 2) == inches


# Re-phasing sets


def test_the_next_bore_of_a_set_in_inches_and_in_millimeters() -> None:
    """Trade-magazine condition, ring area = next bore area; figures computed."""
    assert round(motion.next_bore(4 * INCH, 1.5 * INCH) / INCH, 3) == 3.708
    assert round(motion.next_bore(0.100, 0.040) * 1000, 2) == 91.65


def test_the_first_cylinder_of_a_matched_set_carries_the_sum_of_the_loads() -> None:
    """8000 + 8000 lbf on a 4 in bore; 1273 psi computed as (F1 + F2) / A1."""
    second = motion.next_bore(4 * INCH, 1.5 * INCH)
    cylinders = motion.series_set((8000 * LBF,) * 2, (4 * INCH, second), (1.5 * INCH,) * 2)
    assert round(cylinders.pressures[0] / PSI) == 1273
    assert cylinders.travels == pytest.approx((1.0, 1.0), rel=1e-12)


@many
@given(st.floats(0.08, 0.2), st.floats(0.1, 0.4), st.lists(loads, min_size=1, max_size=5))
def test_a_matched_set_sums_its_loads_and_moves_as_one(
    bore: float, share: float, weights: list[float]
) -> None:
    """Closed form for matched areas, against the balance from the last cylinder back."""
    chain = [bore]
    rods = [bore * share]
    for _ in weights[1:]:
        chain.append(motion.next_bore(chain[-1], rods[-1]))
        rods.append(chain[-1] * share)
    cylinders = motion.series_set(tuple(weights), tuple(chain), tuple(rods))
    assert cylinders.pressures[0] == pytest.approx(math.fsum(weights) / (math.pi * bore**2 / 4))
    assert cylinders.travels == pytest.approx((1.0,) * len(weights))


def test_a_second_cylinder_as_large_as_the_first_lags_behind() -> None:
    """The ring of the first cannot fill the bore of the second: 1 - (d / D)^2 of the travel."""
    cylinders = motion.series_set((1000.0, 1000.0), (0.1, 0.1), (0.04, 0.04))
    assert cylinders.travels == pytest.approx((1.0, 0.84))


def test_an_empty_set_and_uneven_lists_are_refused_by_name() -> None:
    """Each cylinder has a load, a bore and a rod."""
    with pytest.raises(RuleRefusal, match="no-cylinder-load") as refusal:
        motion.series_set((), (), ())
    assert refusal.value.field == "loads"
    with pytest.raises(RuleRefusal) as refusal:
        motion.series_set((1.0, 1.0), (0.1, 0.1), (0.04,))
    assert refusal.value.field == "rods"


# Order of motion


def test_the_cylinder_that_needs_less_pressure_moves_first() -> None:
    """Fluid-power text: of cylinders in parallel the least loaded one moves first."""
    order = motion.motion_order(20_000.0, 0.1, 20_000.0, 0.08, 2e5)
    assert order.first == "lift"
    assert order.lift_pressure == pytest.approx(20_000 / (math.pi * 0.1**2 / 4))
    assert motion.motion_order(30_000.0, 0.08, 10_000.0, 0.08, 2e5).first == "fold"


def test_a_difference_within_friction_leaves_the_order_open() -> None:
    """At the uncertainty itself it is still open."""
    close = motion.motion_order(20_000.0, 0.1, 21_000.0, 0.1, 0.0)
    assert close.first == "lift"
    assert motion.motion_order(20_000.0, 0.1, 21_000.0, 0.1, close.margin).first == "either"


@many
@given(loads, bores, loads, bores, st.floats(0.0, 1e6))
def test_exchanging_lift_and_fold_exchanges_the_answer(
    load: float, bore: float, other_load: float, other_bore: float, uncertainty: float
) -> None:
    """Symmetric."""
    forth = motion.motion_order(load, bore, other_load, other_bore, uncertainty)
    back = motion.motion_order(other_load, other_bore, load, bore, uncertainty)
    assert back.first == {"lift": "fold", "fold": "lift", "either": "either"}[forth.first]
    assert back.margin == -forth.margin


# Trapped and compressed oil


def test_oil_shut_in_and_warmed_fifty_degrees_reaches_6900_psi() -> None:
    """Hydraulic engineering data page: 70 to 120 degF, B 3e5 psi, alpha 0.00046 per degF."""
    pressure = motion.trapped_pressure(50 / 1.8, 0.00046 * 1.8, 3.0e5 * PSI)
    assert pressure / PSI == pytest.approx(6900, rel=1e-12)


def test_a_hundred_cubic_inches_give_by_one_and_a_fifth() -> None:
    """Formula page: V P / 250 000 at 3000 psi; tested to the formula, not to a slogan."""
    volume = motion.compression(100 * CUBIC_INCH, 3000 * PSI, 250_000 * PSI)
    assert volume / CUBIC_INCH == pytest.approx(1.2, rel=1e-12)


def test_three_thousand_psi_shrink_oil_by_one_percent() -> None:
    """Published example with B = 300 000 psi."""
    assert motion.compression(1.0, 3000 * PSI, 3.0e5 * PSI) == pytest.approx(0.01, rel=1e-12)


def test_warming_adds_as_much_pressure_as_pumping_in_what_it_would_have_swollen() -> None:
    """Same page: like adding 2.3 in^3 to 100 in^3 shut in."""
    swollen = 100 * 0.00046 * 50
    assert swollen == pytest.approx(2.3)
    pressure = motion.trapped_pressure(50 / 1.8, 0.00046 * 1.8, 3.0e5 * PSI)
    assert motion.compression(100.0, pressure, 3.0e5 * PSI) == pytest.approx(swollen, rel=1e-12)


# Drift


def test_eighty_cubic_inches_lost_let_an_eight_square_inch_piston_down_ten_inches() -> None:
    """US Army TM 1-1500-204-23-2 piston, its oil leaking out over an hour."""
    bore = math.sqrt(8 * 4 / math.pi) * INCH
    settling = motion.drift(80 * CUBIC_INCH / 3600, bore, 0.0, "cap end", 2.0)
    assert settling.rod * 3600 / INCH == pytest.approx(10, rel=1e-12)
    assert settling.load * 3600 / INCH == pytest.approx(20, rel=1e-12)


@many
@given(
    st.floats(1e-10, 1e-5),
    bores,
    rod_shares,
    st.sampled_from(["cap end", "rod end"]),
    st.floats(0.1, 10.0),
    st.floats(60.0, 1e5),
)
def test_a_leak_is_found_again_from_the_drop_it_causes(
    leak: float, bore: float, share: float, holding: str, ratio: float, time: float
) -> None:
    """Drift forwards, then the drop after a time backwards."""
    speed = motion.drift(leak, bore, bore * share, holding, ratio).load
    flow = motion.leak_from_drop(speed * time, time, bore, bore * share, holding, ratio)
    assert flow == pytest.approx(leak, rel=1e-9)


@many
@given(st.floats(1e-10, 1e-5), bores, st.floats(0.1, 0.95))
def test_a_load_held_at_the_rod_end_settles_faster(leak: float, bore: float, share: float) -> None:
    """The ring is smaller than the bore."""
    rod_end = motion.drift(leak, bore, bore * share, "rod end", 1.0)
    assert rod_end.rod > motion.drift(leak, bore, bore * share, "cap end", 1.0).rod


def test_a_time_of_nothing_is_refused_by_name() -> None:
    """A drop needs a time."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["hydraulics.leak_from_drop"](
            drop=0.01, time=0.0, bore=0.1, rod=0.04, holding="cap end", lever_ratio=1.0
        )
    assert refusal.value.field == "time"
