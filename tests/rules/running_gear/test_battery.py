"""Charge of a rested battery."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.running_gear.battery import charge_by_gravity, charge_by_voltage


def fahrenheit(degrees: float) -> float:
    """°F to K."""
    return (degrees + 459.67) / 1.8


@pytest.mark.parametrize(
    ("volts", "gravity", "charge"),
    [
        (12.65, 1.265, 1.00),
        (12.45, 1.225, 0.75),
        (12.24, 1.190, 0.50),
        (12.06, 1.155, 0.25),
        (11.89, 1.120, 0.00),
    ],
)
def test_rows_of_the_charge_table_are_met(volts: float, gravity: float, charge: float) -> None:
    """Industry-association table at 80 °F."""
    assert charge_by_voltage(volts) == charge
    assert charge_by_gravity(gravity) == charge


def test_gravity_is_corrected_by_four_points_for_ten_degrees_fahrenheit() -> None:
    """Two public sources: added above 80 °F, taken off below."""
    assert charge_by_gravity(1.221, fahrenheit(90)) == pytest.approx(0.75)
    assert charge_by_gravity(1.229, fahrenheit(70)) == pytest.approx(0.75)


@pytest.mark.parametrize(("volts", "charge"), [(12.72, 1.0), (12.9, 1.0), (11.5, 0.0), (10.5, 0.0)])
def test_an_ordinary_battery_beyond_the_table_is_full_or_empty(volts: float, charge: float) -> None:
    """12.72 V is a full battery; nothing is read on past the table (its ends: common practice)."""
    assert RULES["battery.charge_by_voltage"](voltage=volts) == charge


@pytest.mark.parametrize(("gravity", "charge"), [(1.28, 1.0), (1.30, 1.0), (1.10, 0.0)])
def test_stronger_acid_is_full_and_weaker_empty(gravity: float, charge: float) -> None:
    """Batteries are filled with 1.25 to 1.30 (common practice, no published source)."""
    assert charge_by_gravity(gravity) == charge


@pytest.mark.parametrize("volts", [10.4, 13.0, 13.8])
def test_a_voltage_that_no_rested_battery_has_is_refused(volts: float) -> None:
    """Over 12.9 V the battery is charging or has not rested; under 10.5 V a cell is dead."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["battery.charge_by_voltage"](voltage=volts)
    assert refusal.value.field == "voltage"


def test_a_gravity_beyond_the_table_is_refused() -> None:
    """After its correction: 1.295 at 100 °F is 1.303 at 80 °F."""
    with pytest.raises(RuleRefusal) as refusal:
        charge_by_gravity(1.295, fahrenheit(100))
    assert refusal.value.field == "gravity"


@settings(max_examples=60)
@given(low=st.floats(10.5, 12.9), high=st.floats(10.5, 12.9))
def test_more_voltage_is_never_less_charge(low: float, high: float) -> None:
    """From 0 to 1, over the whole range."""
    low, high = sorted((low, high))
    assert 0 <= charge_by_voltage(low) <= charge_by_voltage(high) <= 1
