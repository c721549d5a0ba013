"""Viscosity over temperature, viscosity index and ISO grade, against published examples."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.lubricants import viscosity

many = settings(max_examples=60, derandomize=True)

CST = 1e-6
ICE = 273.15
COLD, HOT = 40 + ICE, 100 + ICE


# ASTM D341


def test_the_constants_of_the_public_worksheet_are_met() -> None:
    """ASTM D341 worksheet with T = degC + 273: A 9.5259, B 3.7449."""
    line = viscosity.line(32 * CST, 313.0, 5.4 * CST, 373.0)
    assert round(line.a, 4) == 9.5259
    assert round(line.b, 4) == 3.7449


def test_the_true_ice_point_moves_the_constants_and_not_the_viscosity() -> None:
    """The worksheet's oil with T = degC + 273.15: A 9.53082, B 3.74658 (recomputed)."""
    line = viscosity.line(32 * CST, COLD, 5.4 * CST, HOT)
    assert (round(line.a, 5), round(line.b, 5)) == (9.53082, 3.74658)


def test_the_worksheets_oil_at_eighty_degrees() -> None:
    """8.5 cSt published; the ice point at 273 or 273.15 makes no difference to it."""
    computed = viscosity.at_temperature(32 * CST, COLD, 5.4 * CST, HOT, 80 + ICE)
    assert round(computed / CST, 1) == 8.5
    rounded = viscosity.at_temperature(32 * CST, 313.0, 5.4 * CST, 373.0, 353.0)
    assert rounded == pytest.approx(computed, rel=1e-3)


@pytest.mark.parametrize(
    ("at_40", "at_100", "celsius", "cst"),
    [(32, 5.4, 20, 86.3), (32, 5.4, 0, 336.0), (145, 14.5, 20, 520), (145, 14.5, 0, 2925)],
)
def test_cold_oil_computed_from_the_published_form(
    at_40: float, at_100: float, celsius: float, cst: float
) -> None:
    """Computed from ASTM D341; to 0.1 %."""
    computed = viscosity.at_temperature(at_40 * CST, COLD, at_100 * CST, HOT, celsius + ICE)
    assert computed / CST == pytest.approx(cst, rel=1e-3)


oils = st.tuples(st.floats(20, 1000), st.floats(0.05, 0.25)).map(
    lambda pair: (pair[0] * CST, max(pair[0] * pair[1], 3.0) * CST)
)


@many
@given(oils, st.floats(0, 99), st.floats(0.1, 30))
def test_oil_thins_as_it_warms(oil: tuple[float, float], celsius: float, more: float) -> None:
    """Monotone."""
    cold = viscosity.at_temperature(oil[0], COLD, oil[1], HOT, celsius + ICE)
    warm = viscosity.at_temperature(oil[0], COLD, oil[1], HOT, min(celsius + more, 100.0) + ICE)
    assert warm < cold


@many
@given(oils, st.floats(0, 100))
def test_the_line_passes_through_its_points_in_either_order(
    oil: tuple[float, float], celsius: float
) -> None:
    """Symmetric, and exact at both given temperatures."""
    forth = viscosity.at_temperature(oil[0], COLD, oil[1], HOT, celsius + ICE)
    assert viscosity.at_temperature(oil[1], HOT, oil[0], COLD, celsius + ICE) == forth
    assert viscosity.at_temperature(*_points(oil), COLD) == pytest.approx(oil[0], rel=1e-9)
    assert viscosity.at_temperature(*_points(oil), HOT) == pytest.approx(oil[1], rel=1e-9)


def _points(oil: tuple[float, float]) -> tuple[float, float, float, float]:
    return oil[0], COLD, oil[1], HOT


@pytest.mark.parametrize(
    ("first", "second", "hot", "field", "code"),
    [
        (32, 5.4, COLD, "second_temperature", "same-temperature"),
        (5.4, 32, HOT, "second", "viscosities-swapped"),
        (32, 32, HOT, "second", "viscosities-swapped"),
    ],
)
def test_points_that_make_no_line_are_refused_by_name(
    first: float, second: float, hot: float, field: str, code: str
) -> None:
    """Oil thins as it warms."""
    with pytest.raises(RuleRefusal, match=code) as refusal:
        viscosity.line(first * CST, COLD, second * CST, hot)
    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("kelvin", "code"), [(480.0, "oil-too-thin"), (205.0, "oil-does-not-flow")]
)
def test_temperatures_the_line_does_not_hold_for_are_refused(kelvin: float, code: str) -> None:
    """ASTM D341 in this form holds from 2 cSt up."""
    with pytest.raises(RuleRefusal, match=code) as refusal:
        viscosity.at_temperature(32 * CST, COLD, 5.4 * CST, HOT, kelvin)
    assert refusal.value.field == "temperature"


# ASTM D2270


@pytest.mark.parametrize(
    ("at_40", "at_100", "index"), [(73.30, 8.86, 92), (22.83, 5.05, 156), (53.47, 7.80, 111)]
)
def test_viscosity_index_of_the_standards_examples(at_40: float, at_100: float, index: int) -> None:
    """ASTM D2270; the third result is a value from memory."""
    assert round(viscosity.index(at_40 * CST, at_100 * CST)) == index


def test_the_examples_to_their_printed_decimals() -> None:
    """ASTM D2270: 92.43 and 156.37; the second takes H 28.97 where the coefficients give 28.98."""
    assert viscosity.index(73.30 * CST, 8.86 * CST) == pytest.approx(92.43, abs=0.01)
    assert viscosity.index(22.83 * CST, 5.05 * CST) == pytest.approx(156.37, abs=0.1)


def test_the_pieces_of_the_table_join() -> None:
    """Coefficients are values from memory: each piece ends where the next begins, to 0.3 %."""
    for (_, low, high), (start, next_low, next_high) in pairwise(viscosity.INDEX_ROWS):
        for before, after in ((low, next_low), (high, next_high)):
            ends = [a * start**2 + b * start + c for a, b, c in (before, after)]
            assert ends[0] == pytest.approx(ends[1], rel=3e-3)


@many
@given(st.floats(3, 100), st.floats(1.01, 3.0))
def test_an_oil_that_is_thicker_when_cold_has_a_lower_index(at_100: float, more: float) -> None:
    """Monotone in the viscosity at 40 degC, through both formulas."""
    at_40 = 8 * at_100
    low = viscosity.index(at_40 * more * CST, at_100 * CST)
    assert low < viscosity.index(at_40 * CST, at_100 * CST)


def test_an_index_of_swapped_viscosities_is_refused() -> None:
    """The hotter is the thinner."""
    with pytest.raises(RuleRefusal, match="viscosities-swapped") as refusal:
        viscosity.index(8.86 * CST, 73.30 * CST)
    assert refusal.value.field == "at_100_celsius"


# ISO 3448


@pytest.mark.parametrize(
    ("grade", "least", "most"),
    [
        (10, 9, 11),
        (15, 13.5, 16.5),
        (22, 19.8, 24.2),
        (32, 28.8, 35.2),
        (46, 41.4, 50.6),
        (68, 61.2, 74.8),
        (100, 90, 110),
        (150, 135, 165),
        (220, 198, 242),
        (320, 288, 352),
        (460, 414, 506),
        (680, 612, 748),
        (1000, 900, 1100),
    ],
)
def test_an_iso_grade_includes_both_its_limits(grade: int, least: float, most: float) -> None:
    """ISO 3448: midpoint plus or minus 10 %; outside them there is no grade."""
    for cst in (least, grade, most):
        assert viscosity.iso_grade(cst * CST).grade == f"VG {grade}"
    for cst in (least * 0.9999, most * 1.0001):
        graded = viscosity.iso_grade(cst * CST)
        assert (graded.grade, graded.least, graded.most) == ("unclassified", None, None)


def test_a_viscosity_typed_in_centistokes_is_refused_by_name() -> None:
    """32 where 0.000032 m^2/s is meant."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["viscosity.iso_grade"](at_40_celsius=32.0)
    assert refusal.value.field == "at_40_celsius"
