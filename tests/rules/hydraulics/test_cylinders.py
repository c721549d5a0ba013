"""Force, volume and charge of hydraulic cylinders, against published worked examples."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.hydraulics import cylinders

# No deadline: the machines that run this are shared.
many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
CUBIC_INCH = INCH**3
LBF = 4.4482216152605
PSI = 6894.757293168361

bores = st.floats(0.02, 0.3)
rod_shares = st.floats(0.0, 0.95)
strokes = st.floats(0.01, 3.0)


# Published examples


@pytest.mark.parametrize(("direction", "pounds"), [("extend", 70_686), ("retract", 53_014)])
def test_a_six_inch_cylinder_pushes_harder_than_it_pulls(direction: str, pounds: int) -> None:
    """Fluid-power formula page: 6 in bore, 3 in rod, 2500 psi (it prints 70 650 with pi 3.14)."""
    force = cylinders.force(6 * INCH, 3 * INCH, 2500 * PSI, direction) / LBF
    assert round(force) == pounds
    assert force == pytest.approx({"extend": 70_650, "retract": 52_975}[direction], rel=1e-3)


@pytest.mark.parametrize(("direction", "psi"), [("extend", 1768.4), ("retract", 2357.9)])
def test_the_same_load_needs_more_pressure_to_pull(direction: str, psi: float) -> None:
    """Fluid-power formula page: 50 000 lbf on the same cylinder (it prints 1769.29, 2359.60)."""
    needed = cylinders.pressure_for_force(50_000 * LBF, 6 * INCH, 3 * INCH, direction) / PSI
    assert round(needed, 1) == psi
    assert needed == pytest.approx({"extend": 1769.29, "retract": 2359.60}[direction], rel=1e-3)


def test_an_eight_square_inch_piston_over_ten_inches_takes_eighty_cubic_inches() -> None:
    """US Army TM 1-1500-204-23-2."""
    bore = math.sqrt(8 * 4 / math.pi) * INCH
    volume = cylinders.cylinder_volume(bore, 0.0, 10 * INCH)
    assert volume.extend / CUBIC_INCH == pytest.approx(80, rel=1e-12)


def test_a_wheel_cylinder_multiplies_the_force_of_its_master() -> None:
    """OpenStax College Physics chapter 11: 500 N on 0.500 cm lifts 1.25e4 N on 2.50 cm."""
    pressure = cylinders.pressure_for_force(500, 0.00500, 0.0, "extend")
    assert pressure == pytest.approx(2.5e7, rel=0.02)  # printed to two figures
    assert cylinders.force(0.0250, 0.0, pressure, "extend") == pytest.approx(1.25e4, rel=1e-12)


def test_a_wing_cylinder_takes_more_out_than_in() -> None:
    """Computed from the formula page: 3.5 in bore, 1.25 in rod, 8 in stroke."""
    volume = cylinders.cylinder_volume(3.5 * INCH, 1.25 * INCH, 8 * INCH)
    assert round(volume.extend / CUBIC_INCH, 2) == 76.97
    assert round(volume.retract / CUBIC_INCH, 2) == 67.15
    assert round(volume.extend * 1000, 3) == 1.261
    assert round(volume.retract * 1000, 3) == 1.100


def test_sixteen_thousand_pounds_on_a_four_inch_bore() -> None:
    """Computed from the formula page: no lever, nothing lost, 8.78 MPa."""
    pressure = cylinders.pressure_to_lift(16_000 * LBF, 1.0, 4 * INCH, 1.0)
    assert round(pressure / PSI) == 1273
    assert round(pressure / 1e6, 2) == 8.78


@pytest.mark.parametrize(
    ("dash", "general", "narrow"),
    [
        (4, 1 / 4, 3 / 16),
        (5, 5 / 16, 1 / 4),
        (6, 3 / 8, 5 / 16),
        (8, 1 / 2, 13 / 32),
        (10, 5 / 8, 1 / 2),
        (12, 3 / 4, 5 / 8),
        (16, 1, 7 / 8),
        (20, 1.25, 1.125),
        (24, 1.5, 1.375),
        (32, 2, 1.8125),
    ],
)
def test_a_dash_number_is_sixteenths_except_on_the_100r5_type(
    dash: int, general: float, narrow: float
) -> None:
    """SAE J517."""
    assert cylinders.hose_bore(dash, "general") == pytest.approx(general * INCH, rel=1e-12)
    assert cylinders.hose_bore(dash, "100R5") == pytest.approx(narrow * INCH, rel=1e-12)


@pytest.mark.parametrize(
    ("dash", "cubic_inches"), [(4, 0.589), (6, 1.325), (8, 2.356), (12, 5.301), (16, 9.425)]
)
def test_a_foot_of_hose_holds_its_bore(dash: int, cubic_inches: float) -> None:
    """SAE J517 bores; contents computed."""
    volume = cylinders.hose_volume(cylinders.hose_bore(dash, "general"), 0.3048)
    assert round(volume / CUBIC_INCH, 3) == cubic_inches


def test_ten_feet_of_half_inch_hose_hold_a_tenth_of_a_gallon() -> None:
    """SAE J517 bore; computed."""
    volume = cylinders.hose_volume(cylinders.hose_bore(8, "general"), 10 * 0.3048)
    assert round(volume / CUBIC_INCH, 1) == 23.6
    assert round(volume / (231 * CUBIC_INCH), 3) == 0.102
    assert round(volume * 1000, 3) == 0.386


# Charge


def test_a_set_with_full_rod_ends_draws_only_its_rods_and_hoses() -> None:
    """Cap-end less rod-end volumes and the hoses, from the published volumes above."""
    charge = cylinders.set_charge(
        (3.5 * INCH,) * 2, (1.25 * INCH,) * 2, (8 * INCH,) * 2, (INCH / 2,), (120 * INCH,), "full"
    )
    assert charge / CUBIC_INCH == pytest.approx(2 * (76.969 - 67.151) + 23.562, abs=0.002)


def test_a_set_with_dry_rod_ends_draws_every_cap_end() -> None:
    """What returns from a dry rod end is air."""
    charge = cylinders.set_charge(
        (3.5 * INCH,) * 2, (1.25 * INCH,) * 2, (8 * INCH,) * 2, (INCH / 2,), (120 * INCH,), "empty"
    )
    assert charge / CUBIC_INCH == pytest.approx(2 * 76.969 + 23.562, abs=0.002)


def test_in_a_matched_series_the_tractor_gives_the_first_cap_end_and_gets_the_last_rod_end() -> (
    None
):
    """The oil in between is handed on, so the sum is the same as in parallel."""
    second = math.sqrt(4**2 - 1.5**2)
    charge = cylinders.set_charge(
        (4 * INCH, second * INCH), (1.5 * INCH,) * 2, (8 * INCH,) * 2, (), (), "full"
    )
    first = cylinders.cylinder_volume(4 * INCH, 1.5 * INCH, 8 * INCH)
    last = cylinders.cylinder_volume(second * INCH, 1.5 * INCH, 8 * INCH)
    assert charge == pytest.approx(first.extend - last.retract, rel=1e-9)


def test_oil_that_never_went_in_is_named_as_air() -> None:
    """Common practice, no published source."""
    check = cylinders.charge_check(0.0045, 0.003, 0.0005, 0.0002)
    assert check.finding == "air-in-circuit"
    assert check.drawn == 0.0035
    assert check.missing == 0.001
    assert check.advice is not None
    assert check.advice.do == "purge-air"
    assert (check.advice.amount, check.advice.unit) == (0.001, "m^3")


def test_oil_the_circuit_cannot_hold_is_named_as_a_leak() -> None:
    """Looked for with card or wood, pressure off: skin is pierced from about 100 psi."""
    check = cylinders.charge_check(0.0045, 0.006, 0.0, 0.0002)
    assert check.finding == "leak"
    assert check.missing == -0.0015
    assert check.advice is not None
    assert check.advice.do == "find-leak"
    assert (check.advice.amount, check.advice.unit) == (0.0015, "m^3")


def test_a_level_that_rose_counts_against_what_was_poured_in() -> None:
    """Three liters in and one too many in the tractor: two went into the circuit."""
    check = cylinders.charge_check(0.002, 0.003, -0.001, 0.0)
    assert (check.finding, check.advice) == ("as-expected", None)


@pytest.mark.parametrize(
    ("added", "finding"),
    [
        (0.0040, "as-expected"),
        (0.003999, "air-in-circuit"),
        (0.0050, "as-expected"),
        (0.005001, "leak"),
    ],
)
def test_the_tolerance_itself_still_conforms(added: float, finding: str) -> None:
    """Expected 4.5 L, read to half a liter."""
    assert cylinders.charge_check(0.0045, added, 0.0, 0.0005).finding == finding


@many
@given(bores, bores, rod_shares, rod_shares, strokes)
def test_the_order_of_the_cylinders_does_not_change_the_charge(
    one: float, two: float, share_one: float, share_two: float, stroke: float
) -> None:
    """A set is a sum."""
    rods = (one * share_one, two * share_two)
    forth = cylinders.set_charge((one, two), rods, (stroke,) * 2, (), (), "full")
    back = cylinders.set_charge((two, one), rods[::-1], (stroke,) * 2, (), (), "full")
    assert forth == back


@many
@given(bores, rod_shares, strokes)
def test_out_less_in_is_the_rod(bore: float, share: float, stroke: float) -> None:
    """Closed form of the rod's own volume."""
    volume = cylinders.cylinder_volume(bore, bore * share, stroke)
    rod = math.pi * (bore * share) ** 2 / 4 * stroke
    assert volume.rod == pytest.approx(rod, rel=1e-9, abs=1e-15)
    assert volume.retract <= volume.extend


@many
@given(bores, rod_shares, st.floats(1e5, 3e7), st.sampled_from(["extend", "retract"]))
def test_force_and_pressure_undo_each_other(
    bore: float, share: float, pressure: float, direction: str
) -> None:
    """p = F / A both ways."""
    force = cylinders.force(bore, bore * share, pressure, direction)
    needed = cylinders.pressure_for_force(force, bore, bore * share, direction)
    assert needed == pytest.approx(pressure, rel=1e-12)


@many
@given(bores, rod_shares, st.floats(1e5, 3e7))
def test_force_is_the_same_in_inches_and_pounds(bore: float, share: float, pressure: float) -> None:
    """Unit independence: psi times square inches is pounds."""
    si = cylinders.force(bore, bore * share, pressure, "retract")
    square_inches = math.pi / 4 * ((bore / INCH) ** 2 - (bore * share / INCH) ** 2)
    assert si / LBF == pytest.approx(pressure / PSI * square_inches, rel=1e-9)


@many
@given(st.floats(1.0, 1e6), st.floats(0.1, 10.0), bores, st.floats(0.1, 0.99))
def test_friction_and_a_longer_lever_only_raise_the_pressure(
    load: float, ratio: float, bore: float, efficiency: float
) -> None:
    """Monotone in both."""
    easy = cylinders.pressure_to_lift(load, ratio, bore, 1.0)
    assert cylinders.pressure_to_lift(load, ratio, bore, efficiency) > easy
    assert cylinders.pressure_to_lift(load, ratio * 1.01, bore, 1.0) > easy


# What is refused


def test_a_rod_as_thick_as_its_bore_is_refused_by_name() -> None:
    """Impossible geometry."""
    with pytest.raises(RuleRefusal, match="rod-not-thinner") as refusal:
        cylinders.cylinder_volume(0.08, 0.08, 0.2)
    assert refusal.value.field == "rod"


@pytest.mark.parametrize("field", ["rods", "strokes", "hose_lengths"])
def test_lists_that_do_not_pair_are_refused_by_name(field: str) -> None:
    """One value for each cylinder and each hose."""
    inputs = {
        "bores": (0.08,),
        "rods": (0.03,),
        "strokes": (0.2,),
        "hose_bores": (0.0127,),
        "hose_lengths": (3.0,),
        "rod_ends": "full",
    }
    with pytest.raises(RuleRefusal) as refusal:
        RULES["hydraulics.set_charge"](**inputs | {field: (0.03, 0.03)})
    assert refusal.value.field == field


@pytest.mark.parametrize("bore", [0.0, -0.1, 3.5, math.nan, "3.5"])
def test_a_bore_out_of_range_is_refused_by_name(bore: object) -> None:
    """3.5 is a bore in inches typed as meters."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["hydraulics.cylinder_volume"](bore=bore, rod=0.03, stroke=0.2)
    assert refusal.value.field == "bore"
