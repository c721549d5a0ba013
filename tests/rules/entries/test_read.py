"""A plain entry is read as it was meant, in any of the notations a shop uses.

The notations are those seen in print and in shops: common practice, no published source.
"""

from fractions import Fraction

import pytest

from prep.rules.entries.read import read
from prep.rules.quantities.quantity import UnknownUnitError
from tests.rules.entries.cast import typed, value


@pytest.mark.parametrize(
    "text",
    [
        "13 7/8",
        "13-7/8",
        '13-7/8"',
        "13 7/8 in.",
        "13.875 in",
        "13,875 in",  # 13 875 in would be 352 m
        "13⅞",
        "13⅞″",
        "13-⅞ in",
        "13 7⁄8”",
        "13 and 7/8 in",
        "13 y 7/8 pulg",
        "1' 1 7/8\"",
        "13 7/8 pouces",
        "13\u00a07/8\u202fin",
    ],
)
def test_thirteen_and_seven_eighths(text: str) -> None:
    """The hyphen joins, the fraction means inches, and the comma is a decimal one."""
    assert typed(text, "length").measured == value("13 7/8", "in")


@pytest.mark.parametrize("text", ["7/8", "7⁄8", "⅞", "0 7/8 in", "7/8''", "0.875 in", ".875in"])
def test_seven_eighths(text: str) -> None:
    """A fraction in a length box is in inches; no other rule is divided into eighths."""
    assert typed(text, "length").measured == value("7/8", "in")


@pytest.mark.parametrize(
    "text",
    [
        "1'2\"",
        "1’2”",
        "1′ 2″",
        "1' 2",
        "1 ft 2 in",
        "1ft2",
        "1 pi 2 po",
        "1 pie 2 pulg",
        "1'-2\"",
        '14"',
        "14''",
        "14’’",
        "14 in",
        "14 IN.",
        "14 pouces",
        "14 po",
        "14 pulg",
        "14 pulgadas",
        "14-in",
        "１４ in",
        "١٤ in",
        "۱۴ in",
        "14\u200b in\ufeff",
        "+14 in",
    ],
)
def test_fourteen_inches(text: str) -> None:
    """Feet and inches, primes, curly quotes, languages and other keyboards' digits."""
    assert typed(text, "length").measured == value("14", "in")


@pytest.mark.parametrize(
    ("text", "number", "symbol"),
    [
        ("35.6 cm", "35.6", "cm"),
        ("35,6 cm", "35.6", "cm"),
        ("356mm", "356", "mm"),
        ("356 MM", "356", "mm"),
        ("5 ft 3 1/2 in", "63 1/2", "in"),
        ("5/6 in", "5/6", "in"),
        ("0,625 in", "0.625", "in"),  # no thousand starts with a nought
        ("-1/4 in", "-1/4", "in"),
        ("−5 mm", "-5", "mm"),
        ("6 pieds", "6", "ft"),
        ("1 250 mm", "1250", "mm"),
        ("1\u202f250 mm", "1250", "mm"),
        ("450\u00a0450 mm", "450450", "mm"),
        ("1 250,5 mm", "1250.5", "mm"),
        ("1,250.5 mm", "1250.5", "mm"),
        ("1.250,5 mm", "1250.5", "mm"),
        ("1,250,000 mm", "1250000", "mm"),
    ],
)
def test_lengths(text: str, number: str, symbol: str) -> None:
    """Decimals, thousands and fractions with a unit."""
    assert typed(text, "length").measured == value(number, symbol)


@pytest.mark.parametrize(
    "spelling",
    [
        *("ft lb", "ft-lb", "ft-lbs", "ft.lbs", "ft/lbs", "ft lbs", "ft·lbf", "ft*lbf", "ft–lb"),
        *("lb-ft", "lbs-ft", "lbf.ft", "lbf•ft", "lbf·ft", "FT LBS", "foot pounds", "pound-feet"),
        *("pi-lb", "pi·lb", "lb-pi", "lb-pie", "pie-libra", "livres-pieds", "ft#"),
    ],
)
def test_foot_pounds(spelling: str) -> None:
    """All one unit, whichever word comes first."""
    assert typed(f"170 {spelling}", "torque").measured == value("170", "ft·lbf")


@pytest.mark.parametrize(
    "spelling", ["lbs-in", "in-lb", "in lbs", "in.lbs", "lb·in", "po-lb", "lb-po", "pulg-lb"]
)
def test_inch_pounds_are_a_twelfth_of_foot_pounds(spelling: str) -> None:
    """NIST SP 811: 1 lbf·ft is 12 lbf·in."""
    inch_pounds = typed(f"246 {spelling}", "torque").measured
    assert inch_pounds.canonical() == value("20.5", "ft·lbf").canonical()


@pytest.mark.parametrize("spelling", ["Nm", "N·m", "N.m", "N-M", "nm", "N m", "N*m", "N⋅m", "NM"])
def test_newton_meters(spelling: str) -> None:
    """A dot, a hyphen, a blank or nothing."""
    assert typed(f"230 {spelling}", "torque").measured == value("230", "N·m")


@pytest.mark.parametrize("spelling", ["mkg", "m-kg", "kgf·m", "kgm", "kg-m", "m·kgf"])
def test_a_meter_kilogram_is_9_80665_newton_meters(spelling: str) -> None:
    """NIST SP 811: 1 kgf·m."""
    assert typed(f"1 {spelling}", "torque").measured.canonical() == Fraction("9.80665")


def test_a_decanewton_meter_is_ten_newton_meters() -> None:
    """SI prefix."""
    assert typed("23 daN·m", "torque").measured.canonical() == 230


@pytest.mark.parametrize(
    ("text", "quantity", "number", "symbol"),
    [
        ("35 psi", "pressure", "35", "psi"),
        ("35 lb/in²", "pressure", "35", "psi"),
        ("35 lbs/in2", "pressure", "35", "psi"),
        ("35 lb/po2", "pressure", "35", "psi"),
        ("2,4 bar", "pressure", "2.4", "bar"),
        ("240 kpa", "pressure", "240", "kPa"),
        ("17 Mpa", "pressure", "17", "MPa"),
        ("2.5 kg/cm2", "pressure", "2.5", "kgf/cm²"),
        ("3.8 L", "volume", "3.8", "L"),
        ("3,8 litres", "volume", "3.8", "L"),
        ("500 cc", "volume", "500", "cm³"),
        ("1/2 US gal", "volume", "1/2", "US gal"),
        ("1 U.S. gal.", "volume", "1", "US gal"),
        ("1 imp. gal", "volume", "1", "imp gal"),
        ("16 US fl. oz.", "volume", "16", "US fl oz"),
        ("12 degC", "temperature", "12", "°C"),
        ("-5 °C", "temperature", "-5", "°C"),
        ("70 F", "temperature", "70", "°F"),
        ("70 ℉", "temperature", "70", "°F"),
        ("20 grados centígrados", "temperature", "20", "°C"),
        ("5°", "angle", "5", "°"),
        ("5º", "angle", "5", "°"),
        ("5 degrés", "angle", "5", "°"),
        ("5° 50'", "angle", "350", "arcmin"),
        ("1/4 in/ft", "slope", "1/4", "in/ft"),
        ('1/4"/ft', "slope", "1/4", "in/ft"),
        ("2 %", "slope", "2", "% grade"),
        ("10 mm per m", "slope", "10", "mm/m"),
        ("540 tr/min", "rotation", "540", "rpm"),
        ("1,000.5 rpm", "rotation", "1000.5", "rpm"),
        ("9 1/s", "rotation", "9", "1/s"),
        ("9 1/2 1/s", "rotation", "9 1/2", "1/s"),
        ("55 cv", "power", "55", "metric hp"),
        ("5 libras", "mass", "5", "lb"),
        ("3 lb 4 oz", "mass", "52", "oz"),
        ("200 lbs", "force", "200", "lbf"),
        ("1 h 30 min", "time", "90", "min"),
        ("12.6 V", "voltage", "12.6", "V"),
        ("1.93", "ratio", "1.93", "1"),
        ("40 %", "ratio", "40", "%"),
        ("8", "count", "8", "count"),
        ("4 1/2 turns", "count", "4 1/2", "count"),
    ],
)
def test_other_quantities(text: str, quantity: str, number: str, symbol: str) -> None:
    """Spellings in print, in three languages."""
    assert typed(text, quantity).measured == value(number, symbol)


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
        ("1.250 kg", None, "1.25"),
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


def test_what_was_typed_is_kept_as_typed() -> None:
    """Blanks and capitals included."""
    assert typed("  170 FT-LBS ", "torque").raw == "  170 FT-LBS "


def test_a_box_of_no_known_quantity_is_a_mistake_of_the_program() -> None:
    """Not a refusal to show to a person."""
    with pytest.raises(UnknownUnitError, match="There is no quantity “luck” to read"):
        read("5 in", "luck")
