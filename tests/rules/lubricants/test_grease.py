"""Strokes of a calibrated gun, and NLGI numbers with the gaps between them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.lubricants import grease

many = settings(max_examples=60, derandomize=True)

GRAM = 1e-3
TENTH = 1e-4  # m, the unit penetration is printed in


def test_a_gun_is_calibrated_by_weighing_its_strokes() -> None:
    """Lubrication article: a lever gun gives 1.28 g a stroke."""
    assert grease.stroke_mass(12.8 * GRAM, 10) == pytest.approx(1.28 * GRAM)


def test_a_point_that_needs_four_and_a_half_grams_gets_two_strokes() -> None:
    """4.4 g at 2.7 mL x 0.9 g/mL = 2.43 g a stroke; the strokes are computed."""
    mass = grease.stroke_mass_from_volume(2.7e-6, 900)
    assert mass == pytest.approx(2.43 * GRAM)
    strokes = grease.strokes((4.4 * GRAM,), mass)
    assert strokes.whole == (2,)
    assert round(strokes.exact[0], 2) == 1.81


def test_four_shots_of_two_point_seven_are_not_eleven_grams() -> None:
    """The printed "about 11 g" takes a milliliter for a gram; at 900 kg/m^3 it is 9.7 g."""
    assert round(4 * grease.stroke_mass_from_volume(2.7e-6, 900) / GRAM, 1) == 9.7
    assert round(4 * grease.stroke_mass_from_volume(2.7e-6, 1000) / GRAM) == 11


@many
@given(st.integers(0, 100), st.floats(0.5, 5.0))
def test_a_dose_of_whole_strokes_takes_just_those(number: int, grams: float) -> None:
    """The noise of the arithmetic adds no stroke."""
    strokes = grease.strokes((number * grams * GRAM,), grams * GRAM)
    assert strokes.whole == (number,)


@many
@given(st.lists(st.floats(0, 0.05), min_size=1, max_size=6), st.floats(5e-4, 5e-3))
def test_whole_strokes_cover_every_dose_and_no_stroke_is_wasted(
    doses: list[float], stroke: float
) -> None:
    """Rounded up, point by point."""
    strokes = grease.strokes(tuple(doses), stroke)
    for dose, whole in zip(doses, strokes.whole, strict=True):
        assert whole * stroke >= dose - 1e-11
        assert (whole - 1) * stroke < dose or whole == 0


@pytest.mark.parametrize(
    ("number", "least", "most"),
    [
        ("000", 445, 475),
        ("00", 400, 430),
        ("0", 355, 385),
        ("1", 310, 340),
        ("2", 265, 295),
        ("3", 220, 250),
        ("4", 175, 205),
        ("5", 130, 160),
        ("6", 85, 115),
    ],
)
def test_an_nlgi_number_includes_both_its_ends_and_nothing_beyond(
    number: str, least: int, most: int
) -> None:
    """ASTM D217 worked penetration; the fifteen between two numbers are unclassified."""
    assert grease.consistency(least * TENTH).number == number
    assert grease.consistency(most * TENTH).number == number
    assert grease.consistency((least - 1) * TENTH).number == "unclassified"
    assert grease.consistency((most + 1) * TENTH).number == "unclassified"


def test_three_hundred_is_unclassified() -> None:
    """Between 1 and 2."""
    assert grease.consistency(300 * TENTH).number == "unclassified"


def test_a_gun_that_gives_nothing_is_refused_by_name() -> None:
    """No stroke count follows from it."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["grease.strokes"](doses=(0.004,), stroke_mass=0.0)
    assert refusal.value.field == "stroke_mass"
