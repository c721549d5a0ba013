"""Each quantity has all that reading, offering and showing it takes."""

import pytest

from prep.rules.entries import spellings
from prep.rules.quantities.plausible import PLAUSIBLE, plausible
from prep.rules.quantities.quantity import QUANTITIES, Measured
from prep.rules.quantities.usual_units import OFFERED, is_us_customary, usual_units
from prep.words.rules.quantities import NAMES

# Measured in one system everywhere, or in no unit at all.
ONE_SYSTEM = {
    *("angle", "rotation", "angular speed", "angular acceleration", "time", "viscosity"),
    *("dynamic viscosity", "particles", "voltage", "current", "ratio", "count"),
}


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_a_quantity_is_complete(name: str) -> None:
    """A name, a spelling for every unit, shop units to offer, plausible bounds."""
    quantity = QUANTITIES[name]
    assert NAMES[name]
    for unit in quantity.units:
        if unit.symbol != "1":
            assert spellings.meanings(unit.symbol, name) == (unit,)
    least, most = PLAUSIBLE[name]
    assert least != most
    assert plausible(Measured(0 * quantity.si.factor, quantity.canonical))
    offered = spellings.usual(name)
    assert set(offered) <= set(quantity.units)
    assert len(offered) == len(set(offered)) >= 1
    assert all(unit in quantity.units for unit in usual_units(name, 1.0))


@pytest.mark.parametrize("name", sorted(set(QUANTITIES) - ONE_SYSTEM))
def test_a_quantity_of_two_systems_offers_units_of_both(name: str) -> None:
    """A shop unit and a metric one: US customary and the rest."""
    systems = {is_us_customary(unit.symbol) for unit in spellings.usual(name)}
    assert systems == {True, False}
    shown = {is_us_customary(unit.symbol) for unit in usual_units(name, 1.0)}
    assert shown == {True, False}


def test_nothing_is_offered_for_a_quantity_that_is_none() -> None:
    """The tables name quantities there are, and no others."""
    assert set(OFFERED) == set(PLAUSIBLE) == set(NAMES) == set(QUANTITIES)
