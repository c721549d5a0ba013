"""Towing: chains, mass, speed and width."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.running_gear.towing import (
    chain_size,
    greatest_mass,
    greatest_speed,
    safety_chain,
    transport_width,
)
from prep.rules.running_gear.towing_data import CHAIN_LIMITS, WIDTHS
from prep.words.reader import ENGLISH
from prep.words.rules import terms

POUND = 0.45359237
POUND_FORCE = 4.4482216152605
KM_H = 1 / 3.6
MPH = 0.44704

# A chain seller's chart, lbf: working load limits by grade, then breaking force by grade.
CHAINS = {
    "1/4": ((1300, 2600, 3150), (5200, 7800, 12_600)),
    "5/16": ((1900, 3900, 4700), (7600, 11_700, 18_800)),
    "3/8": ((2650, 5400, 6600), (10_600, 16_200, 26_400)),
    "7/16": ((3700, 7200, 8750), (14_800, 21_600, 35_000)),
    "1/2": ((4500, 9200, 11_300), (18_000, 27_600, 45_200)),
    "5/8": ((6900, 13_000, 15_800), (27_600, 39_000, 63_200)),
}


@pytest.mark.parametrize("size", CHAINS)
def test_chain_ratings_are_those_of_the_chart_on_both_bases(size: str) -> None:
    """Published chart, agreeing with 49 CFR 393.108 (value from memory)."""
    working, breaking = CHAINS[size]
    for index, grade in enumerate(("30", "43", "70")):
        for basis, column in (("working load", working), ("breaking", breaking)):
            chain = safety_chain(size, grade, 1000.0, basis)
            assert chain.basis == basis
            assert chain.rating / POUND_FORCE == pytest.approx(column[index])


def test_half_inch_grade_43_is_not_rated_as_three_eighths() -> None:
    """A public page prints 5400 lb for 1/2 in grade 43: that is 3/8 in."""
    assert safety_chain("1/2", "43", 1000.0).rating / POUND_FORCE == pytest.approx(9200)


def test_a_chain_without_marks_counts_as_grade_30() -> None:
    """University extension page."""
    assert safety_chain("3/8", "unmarked", 1000.0) == safety_chain("3/8", "30", 1000.0)


def test_the_basis_decides_whether_a_chain_is_strong_enough() -> None:
    """6000 lb on 3/8 in grade 30: working load 2650 lb, breaking force 10 600 lb."""
    assert not safety_chain("3/8", "30", 6000 * POUND, "working load").strong_enough
    assert safety_chain("3/8", "30", 6000 * POUND, "breaking").strong_enough


def test_a_chain_rated_exactly_at_the_weight_is_strong_enough() -> None:
    """ANSI/ASAE S338.5: rating at least the gross weight."""
    assert safety_chain("1/4", "70", 3149.99 * POUND).strong_enough
    assert not safety_chain("1/4", "70", 3150.01 * POUND).strong_enough


def test_the_smallest_chain_that_holds_is_named() -> None:
    """Grade 70: 6600 lbf in 3/8 in, 8750 in 7/16 in."""
    assert chain_size(6599 * POUND, "70") == "3/8"
    assert chain_size(6601 * POUND, "70") == "7/16"
    assert chain_size(6601 * POUND, "70", "breaking") == "1/4"


def test_a_mass_no_chain_holds_is_refused() -> None:
    """20 000 lb on grade 70: the chart ends at 15 800 lb."""
    with pytest.raises(RuleRefusal) as refusal:
        chain_size(20_000 * POUND, "70")
    assert refusal.value.field == "gross_mass"


@pytest.mark.parametrize(
    ("mph", "brakes", "pounds"),
    [
        (20, "none", 22_500),
        (25, "on the implement", 67_500),
        (31, "on the implement", 45_000),
    ],
)
def test_mass_steps_of_a_fifteen_thousand_pound_tractor(
    mph: float, brakes: str, pounds: int
) -> None:
    """One manufacturer's manuals: 1.5, 4.5 and 3.0 times the tractor (products computed)."""
    assert greatest_mass(15_000 * POUND, mph * MPH, brakes) / POUND == pytest.approx(pounds)


@pytest.mark.parametrize(
    ("speed", "brakes"),
    [(32 * KM_H, "none"), (20 * MPH, "none"), (50 * KM_H, "on the implement")],
)
def test_a_step_holds_at_its_speed_in_either_printed_unit(speed: float, brakes: str) -> None:
    """Manuals print 32 km/h (20 mph), which are not quite the same."""
    assert greatest_mass(6000.0, speed, brakes) > 0


@pytest.mark.parametrize(
    ("speed", "brakes"), [(33 * KM_H, "none"), (51 * KM_H, "on the implement")]
)
def test_a_speed_past_the_last_step_is_refused(speed: float, brakes: str) -> None:
    """No mass ratio is published there."""
    with pytest.raises(RuleRefusal) as refusal:
        greatest_mass(6000.0, speed, brakes)
    assert refusal.value.field == "speed"


@pytest.mark.parametrize(
    ("towed", "brakes", "marked", "speed", "decided_by"),
    [
        (17_999.0, "on the implement", 15.0, 31 * MPH, "general"),
        (18_000.0, "on the implement", 15.0, 40 * KM_H, "general"),
        (8999.0, "none", 15.0, 32 * KM_H, "general"),
        (8999.0, "none", 25 * KM_H, 25 * KM_H, "manufacturer"),
        # 40 km/h where the implement's manufacturer says nothing.
        (6000.0, "on the implement", None, 40 * KM_H, "general"),
    ],
)
def test_speed_falls_with_the_mass_and_keeps_the_mark(
    towed: float, brakes: str, marked: float | None, speed: float, decided_by: str
) -> None:
    """Tractor manuals: 50 km/h below 3.0 times, 40 below 4.5 times, the marked speed always."""
    greatest = greatest_speed(6000.0, towed, brakes, marked)
    assert greatest.speed == pytest.approx(speed)
    assert greatest.decided_by == decided_by


@pytest.mark.parametrize(("mass", "brakes"), [(9000.0, "none"), (27_000.0, "on the implement")])
def test_a_machine_that_reaches_the_ratio_is_refused(mass: float, brakes: str) -> None:
    """The ratios are limits to stay below."""
    with pytest.raises(RuleRefusal) as refusal:
        greatest_speed(6000.0, mass, brakes)
    assert refusal.value.field == "towed_mass"


@pytest.mark.parametrize(
    ("jurisdiction", "meters"),
    [
        ("US, Interstate network", 2.591),
        ("US, California, other roads", 3.048),
        ("US, Wisconsin, proposal", 4.57),
        ("EU and UK, general", 2.55),  # value from memory
        ("EU and UK, agricultural", 3.0),  # value from memory
    ],
)
def test_transport_widths_are_those_published(jurisdiction: str, meters: float) -> None:
    """102 in, 120 in and 15 ft in public sources; the European figures from memory."""
    assert transport_width(2.0, jurisdiction).limit == pytest.approx(meters, abs=0.002)


def test_a_width_exactly_at_the_limit_is_within() -> None:
    """And a millimeter more is a millimeter over."""
    limit = 102 * 0.0254
    assert transport_width(limit, "US, Interstate network").within
    wide = transport_width(limit + 0.001, "US, Interstate network")
    assert not wide.within
    assert wide.over == pytest.approx(0.001)


@pytest.mark.parametrize("jurisdiction", WIDTHS)
def test_every_width_says_how_sure_it_is(jurisdiction: str) -> None:
    """No row was read in the law itself, and the answer says so."""
    standing = transport_width(2.0, jurisdiction).standing
    assert terms.word(standing, ENGLISH).startswith(("read in one public source", "not confirmed"))


@pytest.mark.parametrize(
    ("rule", "inputs", "field"),
    [
        ("towing.safety_chain", {"size": "3/4", "grade": "70", "gross_mass": 2000}, "size"),
        ("towing.safety_chain", {"size": "1/2", "grade": "80", "gross_mass": 2000}, "grade"),
        ("towing.safety_chain", {"size": "1/2", "grade": "70", "gross_mass": 0}, "gross_mass"),
        (
            "towing.greatest_mass",
            {"tractor_mass": 6000, "speed": 8.0, "brakes": "weak"},
            "brakes",
        ),
        ("towing.transport_width", {"width": 3.0, "jurisdiction": "elsewhere"}, "jurisdiction"),
    ],
)
def test_input_outside_the_rule_is_refused_by_field(
    rule: str, inputs: dict[str, object], field: str
) -> None:
    """Sizes, grades, brakes and roads that are not on record."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES[rule](**inputs)
    assert refusal.value.field == field


@settings(max_examples=80)
@given(
    mass=st.floats(100, 7000),
    grade=st.sampled_from(["unmarked", "30", "43", "70"]),
    basis=st.sampled_from(["working load", "breaking"]),
)
def test_the_named_chain_holds_and_the_next_smaller_does_not(
    mass: float, grade: str, basis: str
) -> None:
    """Choice and check are one rule."""
    sizes = list(CHAIN_LIMITS)
    try:
        size = chain_size(mass, grade, basis)
    except RuleRefusal:
        assert not safety_chain(sizes[-1], grade, mass, basis).strong_enough
        return
    assert safety_chain(size, grade, mass, basis).strong_enough
    for smaller in sizes[: sizes.index(size)]:
        assert not safety_chain(smaller, grade, mass, basis).strong_enough


@settings(max_examples=80)
@given(
    tractor=st.floats(1000, 20_000),
    towed=st.floats(100, 60_000),
    brakes=st.sampled_from(["none", "on the implement"]),
    marked=st.floats(2, 20),
)
def test_the_speed_allowed_is_one_at_which_the_mass_is_allowed(
    tractor: float, towed: float, brakes: str, marked: float
) -> None:
    """The two rules never contradict each other."""
    try:
        speed = greatest_speed(tractor, towed, brakes, marked).speed
    except RuleRefusal:
        assert towed >= greatest_mass(tractor, 1.0, brakes)
        return
    assert speed <= marked
    assert towed < greatest_mass(tractor, speed, brakes)
