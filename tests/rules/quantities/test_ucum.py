"""Every unit with a code is what UCUM says it is."""

from fractions import Fraction

import pytest

from prep.rules.quantities.quantity import QUANTITIES, UNITS, Unit
from tests.rules.quantities.ucum import Ucum
from tests.suites import ABSENT, SUITES

TABLE = SUITES / "ucum" / "ucum-essence.xml"
pytestmark = pytest.mark.skipif(not TABLE.exists(), reason=ABSENT)
# Fifty decimals of pi: the one factor that is not rational (UCUM has more of them).
OF_PI = Fraction(1, 10**49)
# Degrees Celsius and Fahrenheit have an offset; the factor is that of a difference.
SPECIAL = {"°C", "°F"}


@pytest.fixture(scope="module")
def ucum() -> Ucum:
    """UCUM's definitions, version 2.2 of ucum-essence."""
    return Ucum(TABLE)


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda each: each.symbol)
def test_a_unit_agrees_with_the_definition_of_its_code(unit: Unit, ucum: Ucum) -> None:
    """Its dimension is that of its quantity, its factor UCUM's own, digit for digit."""
    defined = ucum.magnitude(unit.ucum)
    si = ucum.magnitude(QUANTITIES[unit.quantity].si.ucum)
    assert defined.dimension == si.dimension
    assert abs(defined.factor / si.factor / unit.factor - 1) <= OF_PI


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda each: each.symbol)
def test_only_a_temperature_has_an_offset(unit: Unit) -> None:
    """UCUM's special units Cel and [degF]; every other unit is a plain multiple."""
    assert bool(unit.offset) == (unit.symbol in SPECIAL)


def test_a_code_that_is_none_is_told_apart(ucum: Ucum) -> None:
    """A prefix stands before metric units only: a thousand psi is no k[psi]."""
    with pytest.raises(KeyError, match="defines no unit"):
        ucum.magnitude("k[psi]")
