"""Tractor weight: mass ratios from manuals, and moments about the rear axle."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.running_gear.tractor_weight import (
    GRAVITY,
    LeastMass,
    axle_loads,
    front_ballast_advice,
    least_front_mass,
    minimum_mass,
)

POUND = 0.45359237
MILE_PER_HOUR = 0.44704


@pytest.mark.parametrize(
    ("machine_pounds", "kilometers_per_hour", "braked"),
    [(22_500, 32, False), (67_500, 40, True), (45_000, 50, True)],
)
def test_a_15000_lb_tractor_tows_the_machines_its_manual_allows(
    machine_pounds: float, kilometers_per_hour: float, braked: bool
) -> None:
    """One manufacturer's manuals: 1.5 times unbraked, 4.5 braked to 40 km/h, 3 to 50 km/h."""
    mass = minimum_mass(machine_pounds * POUND, kilometers_per_hour / 3.6, braked).mass
    assert mass / POUND == pytest.approx(15_000)


def test_an_unbraked_machine_above_32_km_h_is_refused() -> None:
    """No tractor is heavy enough for that."""
    with pytest.raises(RuleRefusal, match="km_h=32, mph=20") as refusal:
        minimum_mass(2000, 33 / 3.6)
    assert refusal.value.field == "travel_speed"


def test_the_manufacturers_minimum_counts_where_it_is_greater() -> None:
    """The greater of the two, whichever it is."""
    assert minimum_mass(3000, 5.0, model_minimum=2500) == LeastMass(2500, "manufacturer")
    assert minimum_mass(3000, 5.0, model_minimum=1500) == LeastMass(2000, "general")


def test_a_hitch_load_moves_weight_off_the_front_by_its_lever() -> None:
    """By hand: 1000 kgf at 0.75 m behind, 2.5 m wheelbase: front 300 less, rear 1300 more."""
    loads = axle_loads(2000, 3000, 2.5, 1000 * GRAVITY, 0.75)
    assert loads.front / GRAVITY == pytest.approx(1700)
    assert loads.rear / GRAVITY == pytest.approx(4300)
    assert loads.front_share == pytest.approx(1700 / 6000)


@pytest.mark.parametrize(("rear", "share", "front"), [(4000, 0.2, 1000), (3000, 0.25, 1000)])
def test_the_least_front_mass_makes_exactly_its_share_of_both(
    rear: float, share: float, front: float
) -> None:
    """By hand: 1000 of 5000 kg is a fifth, 1000 of 4000 kg a quarter."""
    least = least_front_mass(rear, share)
    assert least == pytest.approx(front)
    assert least / (least + rear) == pytest.approx(share)


def test_a_machine_that_lifts_the_front_wheels_is_refused() -> None:
    """A negative axle load is no answer."""
    with pytest.raises(RuleRefusal, match="front-wheels-lift") as refusal:
        axle_loads(500, 3000, 2.0, 20_000, 2.0)
    assert refusal.value.field == "hitch_load"


def test_a_tail_heavy_machine_that_lifts_the_rear_wheels_is_refused() -> None:
    """The same at the other end."""
    with pytest.raises(RuleRefusal, match="rear-wheels-lift"):
        axle_loads(3000, 500, 2.0, -15_000, 1.0)


@given(
    st.floats(1500, 6000),
    st.floats(1500, 9000),
    st.floats(1.5, 3.5),
    st.floats(-5000, 8000),
    st.floats(0.3, 1.2),
)
@settings(max_examples=80)
def test_the_axles_carry_all_weight_and_balance_about_the_hitch(
    front: float, rear: float, wheelbase: float, load: float, overhang: float
) -> None:
    """Vertical forces and moments about the hitch pin both sum to nothing."""
    loads = axle_loads(front, rear, wheelbase, load, overhang)
    weight = (front + rear) * GRAVITY
    assert loads.front + loads.rear == pytest.approx(weight + load)
    carried = loads.front * (wheelbase + overhang) + loads.rear * overhang
    standing = GRAVITY * (front * (wheelbase + overhang) + rear * overhang)
    assert carried == pytest.approx(standing)


@given(
    st.floats(1000, 60_000),
    st.floats(10_000, 90_000),
    st.floats(1.5, 3.5),
    st.floats(0.0, 1.5),
    st.floats(0.1, 0.4),
)
@settings(max_examples=80)
def test_the_advised_ballast_brings_the_front_to_its_share_exactly(
    front: float, rear: float, wheelbase: float, arm: float, share: float
) -> None:
    """Put the ballast on and the share is the one asked for; nothing where it was already more."""
    advice = front_ballast_advice(front, rear, wheelbase, arm, share)
    if front >= share * (front + rear):
        assert advice is None
        return
    assert advice is not None
    mass = advice.amount
    ballasted = front + mass * GRAVITY * (1 + arm / wheelbase)
    reached = ballasted / (front + rear + mass * GRAVITY)
    assert reached == pytest.approx(share)
