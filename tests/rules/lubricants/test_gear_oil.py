"""SAE J306 by edition, levels by plug and stick, and printed capacities."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.lubricants import gear_oil

many = settings(max_examples=60, derandomize=True)

CST = 1e-6
ICE = 273.15

# Grade, least cSt at 100 degC, below: SAE J306, the 2019 column seen once, the 2005 one twice.
SUMMER_2019 = [
    ("65", 3.8, 5.0),
    ("70", 5.0, 6.5),
    ("75", 6.5, 8.5),
    ("80", 8.5, 11.0),
    ("85", 11.0, 13.5),
    ("90", 13.5, 18.5),
    ("110", 18.5, 24.0),
    ("140", 24.0, 32.5),
    ("190", 32.5, 41.0),
    ("250", 41.0, 60.0),
]
SUMMER_2005 = [("80", 7.0, 11.0), *SUMMER_2019[4:]]
COLD = [("70W", -55), ("75W", -40), ("80W", -26), ("85W", -12)]


# Grades


@pytest.mark.parametrize(
    ("edition", "grade", "least", "below"),
    [("2019", *row) for row in SUMMER_2019] + [("2005", *row) for row in SUMMER_2005],
)
def test_a_grade_begins_at_its_least_and_ends_before_the_next(
    edition: str, grade: str, least: float, below: float
) -> None:
    """SAE J306, half open."""
    assert gear_oil.grade(least * CST, edition).grade == grade
    assert gear_oil.grade((below - 1e-4) * CST, edition).grade == grade
    assert gear_oil.grade((least - 1e-4) * CST, edition).grade != grade


@pytest.mark.parametrize(
    ("cst", "grade"), [(14.5, "90"), (24.0, "140"), (18.4, "90"), (18.5, "110")]
)
def test_grades_of_the_worked_examples(cst: float, grade: str) -> None:
    """SAE J306; the same in both editions."""
    for edition in ("2005", "2019"):
        graded = gear_oil.grade(cst * CST, edition)
        assert (graded.grade, graded.edition) == (grade, edition)


def test_one_oil_is_an_80_in_2005_and_a_75_in_2019() -> None:
    """The editions differ, so the edition stays with the answer."""
    assert gear_oil.grade(7.5 * CST, "2005").grade == "80"
    assert gear_oil.grade(7.5 * CST, "2019").grade == "75"
    assert gear_oil.grade(5.0 * CST, "2005").grade == "unclassified"


def test_an_80w_90_flows_at_minus_26_and_is_a_90_when_hot() -> None:
    """SAE J306: both halves met; at the limit itself it still is."""
    assert gear_oil.grade(14.5 * CST, "2019", -26 + ICE).grade == "80W-90"
    assert gear_oil.grade(13.5 * CST, "2019", -30 + ICE).grade == "80W-90"
    assert gear_oil.grade(14.5 * CST, "2019", -25.9 + ICE).grade == "85W-90"
    assert gear_oil.grade(14.5 * CST, "2019", -11.9 + ICE).grade == "90"


def test_a_winter_grade_has_a_least_viscosity_of_its_own() -> None:
    """7.5 cSt, thick at -26 degC: an 80W in 2005, no longer in 2019."""
    assert gear_oil.grade(7.5 * CST, "2005", -26 + ICE).grade == "80W-80"
    assert gear_oil.grade(7.5 * CST, "2019", -26 + ICE).grade == "75"
    assert gear_oil.grade(4.1 * CST, "2005", -40 + ICE).grade == "75W"
    assert gear_oil.grade(3.8 * CST, "2019", -55 + ICE).grade == "70W-65"


# Weather


@pytest.mark.parametrize("edition", ["2005", "2019"])
@pytest.mark.parametrize(("grade", "celsius"), COLD)
def test_a_grade_flows_down_to_its_own_temperature(grade: str, celsius: int, edition: str) -> None:
    """SAE J306: 150 000 cP; the limit itself still flows."""
    at_limit = gear_oil.ambient(grade, celsius + ICE, edition)
    assert (at_limit.finding, at_limit.margin, at_limit.edition) == ("flows", 0, edition)
    assert gear_oil.ambient(grade, celsius - 0.1 + ICE, edition).finding == "too-thick"


def test_oil_too_thick_for_the_weather_is_told_the_grade_that_is_not() -> None:
    """85W at -20 degC: 80W is the thickest that still flows."""
    ambient = gear_oil.ambient("85W", -20 + ICE, "2019")
    assert ambient.advice is not None
    assert (ambient.advice.do, ambient.advice.values) == ("use-thinner-oil", {"grade": "80W"})
    assert (ambient.advice.amount, ambient.advice.unit) == (-20 + ICE, "K")
    assert ambient.margin == pytest.approx(-8)


def test_below_every_grade_the_manufacturer_is_asked() -> None:
    """Colder than -55 degC."""
    advice = gear_oil.ambient("70W", -56 + ICE, "2019").advice
    assert advice is not None
    assert advice.do == "no-grade-for-cold"


# Levels


def test_a_level_at_the_plug_is_left_alone() -> None:
    """Lower edge of the hole, oil cool; the tolerance itself still counts."""
    for below in (0.0, 0.003):
        level = gear_oil.plug_level(below, 0.003, 0.05)
        assert (level.finding, level.top_off, level.advice) == ("at-plug", 0, None)


def test_a_low_box_is_topped_off_by_its_area() -> None:
    """20 mm in a straight-sided box of 0.05 m^2 is a liter."""
    level = gear_oil.plug_level(0.020, 0.003, 0.05)
    assert level.finding == "low"
    assert level.advice is not None
    assert level.advice.amount == pytest.approx(0.001)
    assert level.advice.unit == "m^3"


def test_oil_over_the_plug_is_let_out() -> None:
    """Assumed empty and overfilled."""
    level = gear_oil.plug_level(-0.010, 0.003, 0.05)
    assert level.finding == "over-plug"
    assert level.top_off == pytest.approx(-0.0005)
    assert level.advice is not None
    assert level.advice.do == "let-oil-out"
    assert level.advice.amount == pytest.approx(0.0005)


@pytest.mark.parametrize(
    ("reading", "finding"),
    [
        (0.0199, "low"),
        (0.020, "between-marks"),
        (0.030, "between-marks"),
        (0.0301, "over-full-mark"),
    ],
)
def test_a_stick_is_right_from_mark_to_mark(reading: float, finding: str) -> None:
    """Both marks belong; not overfilled."""
    level = gear_oil.stick_level(reading, 0.020, 0.030, 0.05, "rested", "rested")
    assert level.finding == finding


def test_a_stick_read_the_other_way_is_read_again() -> None:
    """Some are screwed in to be read, some only rested."""
    with pytest.raises(RuleRefusal, match="read-stick-screwed-in") as refusal:
        gear_oil.stick_level(0.02, 0.01, 0.03, 0.05, "rested", "screwed in")
    assert refusal.value.field == "read_stick"


def test_marks_upside_down_are_refused_by_name() -> None:
    """Model data entered the wrong way round."""
    with pytest.raises(RuleRefusal, match="stick-marks-swapped") as refusal:
        gear_oil.stick_level(0.02, 0.03, 0.03, 0.05, "rested", "rested")
    assert refusal.value.field == "full_mark"


@many
@given(st.floats(0.004, 0.3), st.floats(0.005, 0.5))
def test_topping_off_as_advised_brings_the_oil_to_the_plug(below: float, area: float) -> None:
    """The volume spread over the area is the depth that was missing."""
    level = gear_oil.plug_level(below, 0.003, area)
    again = gear_oil.plug_level(below - level.top_off / area, 0.003, area)
    assert again.finding == "at-plug"


@many
@given(st.floats(0.0, 0.0199), st.floats(0.005, 0.5))
def test_a_stick_and_a_plug_over_one_box_agree(reading: float, area: float) -> None:
    """The full mark at the plug's edge: one depth, one volume."""
    stick = gear_oil.stick_level(reading, 0.020, 0.030, area, "rested", "rested")
    plug = gear_oil.plug_level(0.030 - reading, 0.0, area)
    assert stick.top_off == pytest.approx(plug.top_off, rel=1e-6)


# Volumes


def test_ten_liters_warmed_seventy_degrees_need_half_a_liter_more() -> None:
    """Computed, 10 to 80 degC; the 0.0007 is a value from memory and an input here."""
    assert round(gear_oil.thermal_rise(0.010, 0.0007, 70) * 1000, 2) == 0.49


def test_oil_swells_as_on_the_published_page() -> None:
    """Hydraulic engineering data page: 0.00046 per degF over 100 degF is 4.6 %."""
    assert gear_oil.thermal_rise(1.0, 0.00046 * 1.8, 100 / 1.8) == pytest.approx(0.046)


def test_a_capacity_printed_as_283_ml_and_15_fluid_ounces_is_flagged() -> None:
    """A printed gearbox specification: 15 US fl oz are 443.6 mL."""
    pair = gear_oil.printed_pair(283e-6, 15 * 29.5735295625e-6, 0.05)
    assert pair.finding == "figures-disagree"
    assert round((283e-6 + pair.difference) * 1e6, 1) == 443.6


def test_a_capacity_that_was_only_rounded_is_not_flagged() -> None:
    """283 mL are 9.57 US fl oz."""
    pair = gear_oil.printed_pair(283e-6, 9.57 * 29.5735295625e-6, 0.001)
    assert pair.finding == "figures-agree"


@many
@given(st.floats(1e-5, 1e-2), st.floats(1e-5, 1e-2), st.floats(0.0, 0.2))
def test_which_figure_comes_first_does_not_matter(
    one: float, other: float, rounding: float
) -> None:
    """Symmetric; equal figures agree without any rounding."""
    forth = gear_oil.printed_pair(one, other, rounding)
    assert gear_oil.printed_pair(other, one, rounding) == forth
    assert gear_oil.printed_pair(one, one, 0.0).finding == "figures-agree"


def test_an_edition_nobody_published_is_refused_by_name() -> None:
    """The edition is recorded, so it must be one of the two."""
    with pytest.raises(RuleRefusal, match="not-a-choice") as refusal:
        RULES["gear_oil.grade"](at_100_celsius=14.5e-6, edition="1998")
    assert refusal.value.field == "edition"
