"""The drawbar: published distances, windows and loads, and what is refused for want of a source."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.running_gear.hitch import (
    clevis_clearance_window,
    distance_advice,
    distance_window,
    drawbar_categories,
    drawbar_distance,
    drawbar_height_window,
    pto_height_window,
    vertical_load_limit,
)

INCH = 0.0254


@pytest.mark.parametrize(
    ("pto_type", "inches", "millimeters"), [(1, 14, 355.6), (2, 16, 406.4), (3, 20, 508.0)]
)
def test_the_drawbar_distance_is_the_published_one(
    pto_type: int, inches: float, millimeters: float
) -> None:
    """14, 16 and 20 in, in five or more tractor and implement manuals and a trade article."""
    assert drawbar_distance(pto_type) == pytest.approx(inches * INCH, abs=1e-12)
    assert drawbar_distance(pto_type) * 1000 == pytest.approx(millimeters, abs=1e-9)


@pytest.mark.parametrize(
    "rule",
    [
        "hitch.drawbar_distance",
        "hitch.distance_window",
        "hitch.pto_height_window",
        "hitch.clevis_clearance_window",
    ],
)
def test_a_type_4_pto_is_refused_because_nothing_is_published(rule: str) -> None:
    """The refusal sends the reader to the tractor's manual."""
    with pytest.raises(RuleRefusal, match="no-drawbar-dimension") as refusal:
        RULES[rule](pto_type=4)
    assert refusal.value.field == "pto_type"


@pytest.mark.parametrize(("pto_type", "printed"), [(1, 0.350), (2, 0.400), (3, 0.500)])
def test_the_distance_window_holds_both_printings(pto_type: int, printed: float) -> None:
    """Some pages print 350, 400 and 500 mm, others 14, 16 and 20 in."""
    window = distance_window(pto_type)
    assert window.least <= printed <= window.most
    assert window.least <= drawbar_distance(pto_type) <= window.most


def test_a_tolerance_tighter_than_the_spread_of_printings_is_refused() -> None:
    """Under 6 mm the record would have to say which rounding it means."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["hitch.distance_window"](pto_type=1, tolerance=0.005)
    assert refusal.value.field == "tolerance"


def test_a_drawbar_left_in_for_shipping_is_to_be_pulled_out() -> None:
    """14 in less 9 in is 5 in, before anything is cut."""
    advice = distance_advice(1, 9 * INCH)
    assert advice is not None
    assert advice.do == "pull-drawbar-out"
    assert advice.amount == pytest.approx(5 * INCH)


def test_a_drawbar_too_far_out_is_to_be_pushed_in() -> None:
    """The amount is never negative; the code gives the direction."""
    advice = distance_advice(1, 20 * INCH)
    assert advice is not None
    assert advice.do == "push-drawbar-in"
    assert advice.amount == pytest.approx(6 * INCH)


@pytest.mark.parametrize("measured", [14 * INCH, 0.3556, 355.6 / 1000])
def test_a_drawbar_at_its_distance_gets_no_advice_to_push_it_in_by_nothing(measured: float) -> None:
    """14 in is 355.6 mm exactly (NIST SP 811)."""
    assert distance_advice(1, measured) is None


@pytest.mark.parametrize(
    ("pto_type", "height", "clevis"),
    [
        (1, (203, 305), (201, 224)),
        (2, (203, 356), (201, 224)),
        (3, (254, 356), (224, 254)),
    ],
)
def test_the_vertical_windows_are_the_restated_ones(
    pto_type: int, height: tuple[int, int], clevis: tuple[int, int]
) -> None:
    """Older ASAE S203/S482 restated in an operator manual, mm as printed there."""
    window, plane = pto_height_window(pto_type), clevis_clearance_window(pto_type)
    assert (round(window.least * 1000), round(window.most * 1000)) == height
    assert (round(plane.least * 1000), round(plane.most * 1000)) == clevis


@pytest.mark.parametrize(
    ("power_class", "least", "most"),
    [("30-100 hp", 330, 508), ("60-170 hp", 381, 559), ("135-300 hp", 381, 559)],
)
def test_the_drawbar_stands_at_the_restated_height(power_class: str, least: int, most: int) -> None:
    """Same source, mm as printed."""
    window = drawbar_height_window(power_class)
    assert (round(window.least * 1000), round(window.most * 1000)) == (least, most)


@pytest.mark.parametrize(
    ("kilowatts", "categories"),
    [
        (15, ("I",)),
        (30, ("I", "II")),
        (35, ("I", "II")),
        (50, ("II",)),
        (75, ("II", "III")),
        (100, ("III",)),
        (170, ("III", "IV")),
        (300, ("IV",)),
    ],
)
def test_a_power_may_belong_to_two_categories(
    kilowatts: float, categories: tuple[str, ...]
) -> None:
    """SAE J1548 and ASAE S482 restated: I 15-35, II 30-75, III 60-170, IV 135-300 kW."""
    assert drawbar_categories(kilowatts * 1000) == categories


@pytest.mark.parametrize(
    ("kilowatts", "category", "regular", "extended"),
    [
        (30, "I", 5.50, 3.85),
        (30, "II", 5.50, 3.85),
        (75, "II", 12.25, 8.575),
        (75, "III", 12.30, 8.61),
        (100, "III", 13.80, 9.66),
        (170, "III", 18.00, 12.60),
        (170, "IV", 18.00, 12.60),
        (200, "IV", 19.20, 13.44),
        (300, "IV", 23.20, 16.24),
    ],
)
def test_the_vertical_load_follows_the_restated_formulas(
    kilowatts: float, category: str, regular: float, extended: float
) -> None:
    """kN by the formulas of SAE J1548 and ASAE S482 as restated; the table of them is computed."""
    watts = kilowatts * 1000
    assert vertical_load_limit(category, watts) / 1000 == pytest.approx(regular, abs=1e-9)
    assert vertical_load_limit(category, watts, "extended") / 1000 == pytest.approx(
        extended, abs=1e-9
    )


def test_a_shorter_overhang_carries_more() -> None:
    """The restated factors are 1.6 short and 0.7 extended, type 1 PTO."""
    short, regular, extended = (
        vertical_load_limit("II", 50_000, position) for position in ("short", "regular", "extended")
    )
    assert short / regular == pytest.approx(1.6)
    assert extended / regular == pytest.approx(0.7)


def test_position_factors_are_refused_for_other_shafts() -> None:
    """They are published for a type 1 PTO only; the regular position holds for all."""
    with pytest.raises(RuleRefusal, match="position-for-type-1-only") as refusal:
        vertical_load_limit("III", 100_000, "short", pto_type=2)
    assert refusal.value.field == "position"
    assert vertical_load_limit("III", 100_000, "regular", pto_type=2) == pytest.approx(13_800)


@pytest.mark.parametrize(
    ("category", "kilowatts"), [("I", 36), ("II", 76), ("III", 59), ("IV", 134)]
)
def test_a_power_outside_its_category_is_refused(category: str, kilowatts: float) -> None:
    """The load curve of a category ends where the category does."""
    with pytest.raises(RuleRefusal, match=f"category={category},") as refusal:
        vertical_load_limit(category, kilowatts * 1000)
    assert refusal.value.field == "drawbar_power"


@given(
    st.sampled_from([("I", 15, 35), ("II", 30, 75), ("III", 60, 170), ("IV", 135, 300)]),
    st.floats(0, 1),
    st.floats(0, 1),
)
@settings(max_examples=60)
def test_more_power_never_lowers_the_load_limit(
    category: tuple[str, int, int], one: float, other: float
) -> None:
    """Within a category the limit rises with power."""
    name, least, most = category
    weaker, stronger = (1000 * (least + share * (most - least)) for share in sorted((one, other)))
    assert vertical_load_limit(name, weaker) <= vertical_load_limit(name, stronger)


def test_the_load_curves_of_neighboring_categories_meet() -> None:
    """II and III nearly at 75 kW, III and IV at 170 kW with 18.0 kN (restated SAE J1548).

    That they meet makes the transcription credible.
    """
    second, third = (vertical_load_limit(one, 75_000.0) / 1000 for one in ("II", "III"))
    assert [second, third] == pytest.approx([12.25, 12.30])
    at_170 = [vertical_load_limit(one, 170_000.0) / 1000 for one in ("III", "IV")]
    assert at_170 == pytest.approx([18.0, 18.0])
