"""The picture of a reading among its limits says what the verdict says, and stays readable."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.conformity.judgment import DecisionRule, Interval, Verdict, judge
from prep.rules.drawings.guard_band import guard_band_drawing
from prep.rules.drawings.shapes import Circle, Drawing, Ink, Polygon, Text, to_svg
from prep.rules.quantities.quantity import UNITS
from tests.rules.drawings.checks import WORDS, box, running_off, texts, touching_texts

SIMPLE = DecisionRule("simple")
GUARDED = DecisionRule("guarded")
BOLT = Interval(Fraction(220), Fraction(240))


def drawn(
    value: str,
    interval: Interval = BOLT,
    expanded: str = "6",
    rule: DecisionRule = GUARDED,
    unit: str = "N·m",
) -> Drawing:
    reading, uncertainty = Fraction(value), Fraction(expanded)
    judgment = judge(reading, interval, rule, uncertainty)
    return guard_band_drawing(reading, judgment, uncertainty, unit, WORDS)


def place_of_reading(drawing: Drawing) -> float:
    (dot,) = (shape for shape in drawing.shapes if isinstance(shape, Circle))
    return dot.center[0]


def over_gray(drawing: Drawing) -> bool:
    """Whether the reading stands over the zone that does not conform."""
    x = place_of_reading(drawing)
    grays = [
        box(shape)
        for shape in drawing.shapes
        if isinstance(shape, Polygon) and shape.fill is Ink.GRAY
    ]
    return any(left < x < right and bottom - top > 5 for left, top, right, bottom in grays)


def test_a_converted_limit_is_shown_to_the_place_of_the_uncertainty() -> None:
    """427.5 and 472.5 ft·lbf in N·m, U = 7.5; a number somebody typed keeps all its digits."""
    foot_pound = UNITS["ft·lbf"].factor
    shown = texts(drawn("640.25", Interval(855 * foot_pound / 2, 945 * foot_pound / 2), "7.5"))
    assert [shown[shown.index(end) + 1] for end in ("lower limit", "upper limit")] == [
        "579.6",
        "640.6",
    ]
    assert "640.25 ± 7.5 N·m" in shown


def test_a_torque_near_its_upper_limit_is_shown_with_every_number() -> None:
    """238 N·m against 220 to 240 with U = 6: w = 0.83 · 6 = 4.98 (ISO 14253-1:2017)."""
    assert texts(drawn("238")) == [
        "Barely in limit (conforming, guard band).",
        "Probability that the true value is in limit: 0.748.",
        "lower limit",
        "220",
        "accepted from",
        "225.0",
        "accepted to",
        "235.0",
        "upper limit",
        "240",
        "238 ± 6.0 N·m",
        "in limit (conforming)",
        "barely in limit (conforming, guard band)",
        "barely out of limit (nonconforming, guard band)",
        "out of limit (nonconforming)",
    ]


def test_the_probability_on_the_picture_is_that_of_the_normal_table() -> None:
    """JCGM 106:2012, 7.4: 0.66 for 13.6 ± 3.6 between 12.5 and 16.3."""
    limits = Interval(Fraction("12.5"), Fraction("16.3"))
    assert "Probability that the true value is in limit: 0.663." in texts(
        drawn("13.6", limits, "3.6", SIMPLE, "mm²/s")
    )


def test_a_rounded_acceptance_limit_never_looks_wider_than_it_is() -> None:
    """−5.40 − 0.83 · 0.1 = −5.483 is shown as −5.49 (common practice: guard inwards)."""
    shown = texts(drawn("-5.6", Interval(None, Fraction("-5.4")), "0.1", unit="V"))
    assert shown[shown.index("accepted to") + 1] == "−5.49"
    shown = texts(drawn("5.6", Interval(Fraction("5.4"), None), "0.1", unit="V"))
    assert shown[shown.index("accepted from") + 1] == "5.49"


def test_the_simple_rule_shows_two_zones_and_no_acceptance_limit() -> None:
    """Without a guard band there is nothing between the limits and the verdicts."""
    shown = texts(drawn("230", rule=SIMPLE))
    assert "accepted to" not in shown
    assert shown[-2:] == ["in limit (conforming)", "out of limit (nonconforming)"]


def test_an_instrument_that_cannot_decide_is_said_to() -> None:
    """Limits 0 and 10, u = 3: no acceptance interval at 0.95 (JCGM 106:2012, 7.4)."""
    drawing = drawn("5", Interval(Fraction(0), Fraction(10)), "6", unit="mm")
    sentence = "This tool is not accurate enough to decide."
    assert sentence in texts(drawing)
    assert sentence in drawing.description


def test_the_description_says_everything_without_the_picture() -> None:
    """For who cannot see it: reading, verdict, probability and limits."""
    assert drawn("300").description == (
        "300 ± 6.0 N·m. Out of limit (nonconforming). Probability that the true value is in limit: "
        "less than 0.001. Lower limit 220 N·m. Upper limit 240 N·m."
    )
    assert to_svg(drawn("300")).count("Upper limit 240 N·m") == 1


def test_a_reading_far_outside_stands_beyond_a_broken_axis_and_leaves_the_limits_readable() -> None:
    """A thousand times the limit is as readable as a little over it."""
    for value in ("300", "240000", "-240000"):
        drawing = drawn(value)
        assert over_gray(drawing)
        (lower,) = (s for s in drawing.shapes if isinstance(s, Text) and s.text == "lower limit")
        (upper,) = (s for s in drawing.shapes if isinstance(s, Text) and s.text == "upper limit")
        assert upper.at[0] - lower.at[0] > 20
    assert place_of_reading(drawn("240000")) > 110
    assert place_of_reading(drawn("-240000")) < 50


def test_a_reading_far_on_the_good_side_of_one_limit_does_not_stand_over_gray() -> None:
    """20 against at most 100."""
    assert not over_gray(drawn("20", Interval(None, Fraction(100)), "1"))
    assert over_gray(drawn("20", Interval(Fraction(100), None), "1"))


HARD_CASES = {
    "on the limit": ("240", BOLT, "6"),
    "on the acceptance limit": ("235.02", BOLT, "6"),
    "without uncertainty": ("240", BOLT, "0"),
    "far outside": ("1000000", BOLT, "6"),
    "limits that coincide": ("540", Interval(Fraction(540), Fraction(540)), "2"),
    "uncertainty far wider than the tolerance": ("230", BOLT, "5000"),
    "tolerance far wider than the uncertainty": (
        "5",
        Interval(Fraction(0), Fraction(10**9)),
        "0.001",
    ),
    "long numbers": (
        "123456.789",
        Interval(Fraction("123456.788"), Fraction("123456.790")),
        "0.00012",
    ),
    "a limit of nothing": ("0", Interval(None, Fraction(0)), "0"),
}


@pytest.mark.parametrize("case", sorted(HARD_CASES))
def test_hard_cases_stay_on_the_sheet_with_labels_apart(case: str) -> None:
    """Near, far, without width and with long numbers."""
    value, interval, expanded = HARD_CASES[case]
    drawing = drawn(value, interval, expanded, unit="N·m")
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []


decimals = st.decimals(-100_000, 100_000, places=3).map(Fraction)


@given(
    decimals,
    st.tuples(decimals, decimals).map(sorted),
    st.sampled_from(("both", "low", "high")),
    st.decimals(0, 1000, places=4).map(Fraction),
    st.sampled_from((SIMPLE, GUARDED, DecisionRule("guarded", Fraction(3)))),
)
@settings(max_examples=60)
def test_every_picture_is_readable_and_agrees_with_its_verdict(
    value: Fraction, limits: list[Fraction], side: str, expanded: Fraction, rule: DecisionRule
) -> None:
    """Nothing runs off, no words touch, and gray lies under a reading that does not conform."""
    interval = Interval(None if side == "high" else limits[0], None if side == "low" else limits[1])
    judgment = judge(value, interval, rule, expanded)
    drawing = guard_band_drawing(value, judgment, expanded, "kPa", WORDS)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []
    if judgment.verdict is not Verdict.NONCONFORMING:
        assert not over_gray(drawing)
    elif interval.distance(value) > judgment.guard_bands.widest * 11 / 10:
        assert over_gray(drawing)
    assert to_svg(drawing) == to_svg(guard_band_drawing(value, judgment, expanded, "kPa", WORDS))
