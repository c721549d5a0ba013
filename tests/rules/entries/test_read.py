"""What is kept of a plain entry beside its value; `corpus_*.yaml` has the notations."""

from fractions import Fraction

import pytest

from prep.rules.entries.read import Question, Typed, read
from prep.rules.quantities.quantity import OtherQuantityError, UnknownUnitError, unit
from tests.rules.entries.cast import typed, value


@pytest.mark.parametrize("spelling", ["mkg", "m-kg", "kgf·m", "kgm", "kg-m", "m·kgf"])
def test_a_meter_kilogram_is_9_80665_newton_meters(spelling: str) -> None:
    """NIST SP 811: 1 kgf·m."""
    assert typed(f"1 {spelling}", "torque").measured.canonical() == Fraction("9.80665")


def test_a_decanewton_meter_is_ten_newton_meters() -> None:
    """SI prefix."""
    assert typed("23 daN·m", "torque").measured.canonical() == 230


@pytest.mark.parametrize(
    ("text", "resolution"),
    [
        ("14 in", "1"),
        ("14.0 in", "1/10"),
        ("13.875 in", "1/1000"),
        ("13 7/8 in", "1/8"),
        ("⅞", "1/8"),
        ("1,250.5 mm", "1/10"),
        ("5 ft 3 in", "1"),
        ("5 ft 3 1/4 in", "1/4"),
    ],
)
def test_the_last_digit_written_is_kept(text: str, resolution: str) -> None:
    """14 in and 14.0 in are one value, but not one care in reading."""
    assert typed(text, "length").written_resolution == Fraction(resolution)


# What the general unit library makes of these: 0.3125 in, 15 ft·in, 1, and no torque at all.
@pytest.mark.parametrize(
    ("text", "quantity", "number", "symbol"),
    [
        ("1 5/16 in", "length", "1 5/16", "in"),
        ("5 ft 3 in", "length", "63", "in"),
        ('1 "', "length", "1", "in"),
        ("1 Nm", "torque", "1", "N·m"),
        ("170 ft_lbf", "torque", "170", "ft·lbf"),
        ("1 US gal", "volume", "1", "US gal"),
        ("12 degC", "temperature", "12", "°C"),
        ("20 l/min", "flow", "20", "L/min"),
        ("55 hp", "power", "55", "hp"),
        ("5/16 in", "length", "5/16", "in"),
    ],
)
def test_what_a_general_parser_reads_wrongly(
    text: str, quantity: str, number: str, symbol: str
) -> None:
    """Silent wrong answers seen elsewhere are right here."""
    assert typed(text, quantity).measured == value(number, symbol)


@pytest.mark.parametrize(
    ("text", "decimal_comma", "number"),
    [
        ("1,250 kg", True, "1.25"),
        ("1,250 kg", False, "1250"),
        ("1.250 kg", False, "1.25"),
        ("1.250 kg", True, "1250"),
        ("1,5 kg", False, "1.5"),
        ("1.5 kg", True, "1.5"),
        ("1.250,5 kg", False, "1250.5"),
    ],
)
def test_a_persons_setting_decides_between_comma_and_point(
    text: str, decimal_comma: bool | None, number: str
) -> None:
    """Unless only one reading is possible, which then holds for everybody."""
    assert typed(text, "mass", decimal_comma).measured == value(number, "kg")


@pytest.mark.parametrize(
    ("text", "unit_", "number", "symbol"),
    [
        ("35", "psi", "35", "psi"),
        ("2.4 bar", "psi", "2.4", "bar"),  # what is written prevails
        ("35 lb", "psi", "35", "psi"),
        ("35#", "kPa", None, None),  # pounds are never kilopascals
    ],
)
def test_a_unit_chosen_beside_the_box_is_that_of_a_bare_number(
    text: str, unit_: str, number: str | None, symbol: str | None
) -> None:
    """It settles what is left open, and nothing that is written."""
    result = read(text, "pressure", unit=unit(unit_))
    if number is None or symbol is None:
        assert isinstance(result, Question)
    else:
        assert isinstance(result, Typed)
        assert result.measured == value(number, symbol)


def test_a_chosen_unit_of_another_quantity_is_a_mistake_of_the_program() -> None:
    """The command refuses it before anything is read."""
    with pytest.raises(OtherQuantityError, match="psi is no unit of length"):
        read("35", "length", unit=unit("psi"))


def test_what_was_typed_is_kept_as_typed() -> None:
    """Blanks and capitals included."""
    assert typed("  170 FT-LBS ", "torque").raw == "  170 FT-LBS "


def test_a_box_of_no_known_quantity_is_a_mistake_of_the_program() -> None:
    """Not a refusal to show to a person."""
    with pytest.raises(UnknownUnitError, match="There is no quantity “luck” to read"):
        read("5 in", "luck")
