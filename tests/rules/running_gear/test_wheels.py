"""Tire pressure, load, wheel nuts and bead seating."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.running_gear.wheels import (
    NUT_STAGES,
    SEATING_LIMIT,
    cold_pressure,
    load_at_pressure,
    nut_stages,
    pressure_for_load,
    recheck_by_distance,
    recheck_by_hours,
    seating_stop,
)

PSI = 6894.757293168
FOOT_POUND = 1.3558179483314
MILE = 1609.344
HOUR = 3600.0

# An invented tire's table.
LOADS = (9_000.0, 12_000.0, 14_000.0, 16_500.0)
PRESSURES = (80_000.0, 120_000.0, 160_000.0, 220_000.0)


def celsius(degrees: float) -> float:
    """°C to K."""
    return degrees + 273.15


def fahrenheit(degrees: float) -> float:
    """°F to K."""
    return (degrees + 459.67) / 1.8


def test_physics_text_example_of_a_cold_night() -> None:
    """OpenStax College Physics 13.22: 2.50e5 Pa at 35 °C, 1.64e5 Pa at -40 °C."""
    pressure = cold_pressure(2.50e5, celsius(35), celsius(-40), 1.013e5)
    assert pressure == pytest.approx(1.645e5, rel=0.001)


@pytest.mark.parametrize(
    ("psi", "at", "to", "printed"),
    [
        (42.5, celsius(-16), celsius(44.2), 55.9),  # public homework thread
        (20, fahrenheit(70), fahrenheit(50), 18.7),  # technical post
        (20, fahrenheit(70), fahrenheit(130), 23.9),  # the same
        (35, fahrenheit(70), fahrenheit(30), 31.25),  # public calculator page
    ],
)
def test_published_examples_in_psi(psi: float, at: float, to: float, printed: float) -> None:
    """Gauge to absolute, scale, back to gauge: within 0.1 psi of the printed answer."""
    assert cold_pressure(psi * PSI, at, to) / PSI == pytest.approx(printed, abs=0.051)


@pytest.mark.parametrize(
    ("kpa", "at", "to", "printed"), [(658, 20, 60, 761.66), (30 * PSI / 1000, 10, 40, 239.5)]
)
def test_published_examples_in_kilopascals(
    kpa: float, at: float, to: float, printed: float
) -> None:
    """Two public pages, the second of which slips to 239.38: within 0.1 %."""
    pressure = cold_pressure(kpa * 1000, celsius(at), celsius(to)) / 1000
    assert pressure == pytest.approx(printed, rel=0.001)


def test_a_gauge_pressure_is_not_scaled_by_itself() -> None:
    """30 psi from 11 to 54 °C is 36.76 psi; a public answer scales the gauge and says 34.5."""
    pressure = cold_pressure(30 * PSI, celsius(11), celsius(54)) / PSI
    assert round(pressure, 2) == 36.76
    assert 30 * celsius(54) / celsius(11) == pytest.approx(34.5, abs=0.05)


@pytest.mark.parametrize(("psi", "slope"), [(20, 0.66), (35, 0.94), (100, 2.17)])
def test_one_psi_for_ten_degrees_suits_one_pressure_only(psi: float, slope: float) -> None:
    """The common rule is right near 38 psi; the true slope is (p + 14.7) / T (computed)."""
    rise = cold_pressure(psi * PSI, fahrenheit(70), fahrenheit(80)) / PSI - psi
    assert rise == pytest.approx(slope, abs=0.006)


def test_a_tire_colder_than_the_gas_law_allows_is_refused() -> None:
    """A near-empty tire in deep cold would be under vacuum."""
    with pytest.raises(RuleRefusal) as refusal:
        cold_pressure(5_000.0, celsius(40), celsius(-40))
    assert refusal.value.field == "pressure"


@pytest.mark.parametrize(("load", "pressure"), list(zip(LOADS, PRESSURES, strict=True)))
def test_rows_of_the_tire_table_are_met_exactly(load: float, pressure: float) -> None:
    """Interpolation never moves a figure the manufacturer printed, the ends included."""
    assert pressure_for_load(load, LOADS, PRESSURES) == pressure
    assert load_at_pressure(pressure, LOADS, PRESSURES) == load


@pytest.mark.parametrize("load", [8_999.9, 16_500.1])
def test_a_load_beyond_the_tire_table_is_refused(load: float) -> None:
    """No row is made up past the ends."""
    with pytest.raises(RuleRefusal) as refusal:
        pressure_for_load(load, LOADS, PRESSURES)
    assert refusal.value.field == "load"


def test_a_pressure_beyond_the_tire_table_is_refused() -> None:
    """The other way round."""
    with pytest.raises(RuleRefusal) as refusal:
        load_at_pressure(79_000.0, LOADS, PRESSURES)
    assert refusal.value.field == "pressure"


@pytest.mark.parametrize(
    ("loads", "pressures", "field"),
    [
        ((), (), "loads"),
        ((9_000.0,), (80_000.0,), "loads"),
        ((9_000.0, 8_000.0), (80_000.0, 120_000.0), "loads"),
        ((8_000.0, 9_000.0), (120_000.0, 120_000.0), "pressures"),
        ((8_000.0, 9_000.0), (80_000.0, 120_000.0, 160_000.0), "loads"),
    ],
)
def test_a_tire_table_that_does_not_rise_row_by_row_is_refused(
    loads: tuple[float, ...], pressures: tuple[float, ...], field: str
) -> None:
    """Empty, one row, falling, flat, columns of unequal length."""
    with pytest.raises(RuleRefusal) as refusal:
        pressure_for_load(8_500.0, loads, pressures)
    assert refusal.value.field == field


def test_wheel_nut_chart_ends_at_its_printed_torques() -> None:
    """Trailer-wheel charts: last stage in lbf-ft and in N·m (converted)."""
    printed = {
        "12 to 13 in wheel": (50, 60, 68, 81),
        "14 to 16 in wheel, 1/2 in stud": (90, 120, 122, 163),
        "16 in wheel, 9/16 in stud": (120, 130, 163, 176),
        "5/8 in cone nut": (190, 210, 258, 285),
        "5/8 in flange nut": (275, 325, 373, 441),
    }
    for wheel, (least, greatest, least_nm, greatest_nm) in printed.items():
        nuts = nut_stages(wheel)
        assert nuts.least[-1] / FOOT_POUND == pytest.approx(least)
        assert nuts.greatest[-1] / FOOT_POUND == pytest.approx(greatest)
        assert (round(nuts.least[-1]), round(nuts.greatest[-1])) == (least_nm, greatest_nm)


@pytest.mark.parametrize("wheel", NUT_STAGES)
def test_each_wheel_nut_stage_is_tighter_than_the_last(wheel: str) -> None:
    """Three stages; windows do not overlap."""
    nuts = nut_stages(wheel)
    assert len(nuts.least) == len(nuts.greatest) == 3
    for lower, upper in zip(nuts.greatest, nuts.least[1:], strict=False):
        assert lower < upper


@pytest.mark.parametrize(("rechecks", "miles"), [(0, 10), (1, 25), (2, 50), (3, 75), (5, 125)])
def test_wheel_nuts_are_checked_at_10_25_and_50_miles(rechecks: int, miles: int) -> None:
    """Five public sources; past 50 miles the last step again: common practice."""
    assert recheck_by_distance(0.0, rechecks).next_at == pytest.approx(miles * MILE)


def test_a_recheck_is_due_exactly_at_its_mark() -> None:
    """Not a meter before."""
    mark = recheck_by_distance(0.0, 0).next_at
    assert not recheck_by_distance(mark - 1, 0).due
    assert recheck_by_distance(mark, 0).due
    assert not recheck_by_distance(mark, 1).due


def test_hours_of_work_run_the_same_clock() -> None:
    """1 h and 10 h: value from memory; a manufacturer's own marks take their place."""
    assert recheck_by_hours(0.9 * HOUR, 0).next_at == HOUR
    assert not recheck_by_hours(0.9 * HOUR, 0).due
    assert recheck_by_hours(10 * HOUR, 1).due
    assert recheck_by_hours(0.0, 1, (2 * HOUR,)).next_at == 4 * HOUR


@pytest.mark.parametrize(
    ("rechecks", "marks", "field"),
    [(0, (), "marks"), (0, (100.0, 100.0), "marks"), (0.5, (100.0,), "rechecks")],
)
def test_a_clock_that_cannot_run_is_refused(
    rechecks: float, marks: tuple[float, ...], field: str
) -> None:
    """No mark, a mark twice, half a check."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["wheels.recheck_by_distance"](traveled=0.0, rechecks=rechecks, marks=marks)
    assert refusal.value.field == field


def test_inflating_stops_at_35_psi_when_the_beads_have_not_seated() -> None:
    """Tire manufacturers' trade association, farm tires on single-piece rims: 35 psi at most."""
    assert pytest.approx(35) == SEATING_LIMIT / PSI
    assert seating_stop(34.9 * PSI) is None
    advice = seating_stop(SEATING_LIMIT)
    assert isinstance(advice, Advice)
    assert (advice.amount, advice.unit) == (SEATING_LIMIT, "Pa")


def test_the_manufacturers_own_seating_limit_goes_first() -> None:
    """A rim for 30 psi stops earlier."""
    assert seating_stop(31 * PSI, 30 * PSI) is not None
    assert seating_stop(31 * PSI) is None


pressures = st.floats(50_000, 400_000)
temperatures = st.floats(240, 330)


@settings(max_examples=80)
@given(pressure=pressures, cold=temperatures, warm=temperatures)
def test_cooling_undoes_warming(pressure: float, cold: float, warm: float) -> None:
    """There and back is the same tire; warmer is never lower."""
    there = cold_pressure(pressure, 290.0, warm)
    assert cold_pressure(there, warm, 290.0) == pytest.approx(pressure)
    low, high = sorted((cold, warm))
    assert cold_pressure(pressure, 290.0, low) <= cold_pressure(pressure, 290.0, high)


@settings(max_examples=80)
@given(
    load=st.floats(LOADS[0], LOADS[-1]),
    other=st.floats(LOADS[0], LOADS[-1]),
)
def test_more_load_takes_more_pressure_and_the_table_reads_both_ways(
    load: float, other: float
) -> None:
    """Monotone between rows, and its own inverse."""
    pressure = pressure_for_load(load, LOADS, PRESSURES)
    assert load_at_pressure(pressure, LOADS, PRESSURES) == pytest.approx(load)
    low, high = sorted((load, other))
    assert pressure_for_load(low, LOADS, PRESSURES) <= pressure_for_load(high, LOADS, PRESSURES)
