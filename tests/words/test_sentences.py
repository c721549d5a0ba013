"""A few sentences in full: what people read, with values in their own units and number style."""

import pytest

from prep.record.refusal import Refusal, refusal_of_unread
from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.conformity.judgment import Verdict
from prep.rules.entries.read import Typed, read
from prep.rules.entries.results import Unread
from prep.rules.phrase import Amount, phrase
from prep.words import verdicts
from prep.words.reader import ENGLISH, Reader
from prep.words.refusals import refusal_text
from prep.words.rules import advice, drawings, entries, phrases, quantities, results
from prep.words.rules import refusals as rule_refusals

METRIC = Reader(units="metric", decimal_comma=True)


def refused(rule: str, reader: Reader = ENGLISH, **inputs: object) -> str:
    """Why a rule refuses its inputs."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES[rule](**inputs)
    return rule_refusals.text(refusal.value, reader)


def unread(text: str, quantity: str) -> Unread:
    """An entry that gives no value."""
    entry = read(text, quantity)
    assert not isinstance(entry, Typed)
    return entry


def test_a_value_out_of_range_is_shown_in_the_readers_units() -> None:
    """0.05 m to 6 m; 7 m typed."""
    assert refused("blades.tip_speed", tip_circle=7.0, speed=9.0) == (
        "Tip circle: 275.6 in is out of range. This calculation works from 1.969 in to 236.2 in. "
        "Check the value and its unit."
    )
    assert refused("blades.tip_speed", METRIC, tip_circle=7.0, speed=9.0) == (
        "Tip circle: 7000 mm is out of range. This calculation works from 50 mm to 6000 mm. Check "
        "the value and its unit."
    )


def test_values_that_differ_never_look_alike() -> None:
    """6 m and a hair more: as many digits as it takes."""
    sentence = refused("blades.tip_speed", tip_circle=6.0000254, speed=9.0)
    assert sentence.startswith("Tip circle: 236.221 in is out of range.")
    assert "to 236.22 in." in sentence


def test_a_refusal_says_what_is_wrong_then_what_to_do() -> None:
    """An input left out, a choice that is none, a driveline, a serial, a bolt, a wrench."""
    assert refused("blades.tip_speed", speed=9.0) == (
        "Tip circle: nothing was entered. Enter a value."
    )
    assert refused("joints.advisory_limit", joint="triple", duty="short") == (
        "Kind of joint: “triple” is not a choice. Choose one of: single, wide-angle."
    )
    assert refused("driveline.half_lengths", longest=1.0, shortest=1.2) == (
        "The shortest span is longer than the longest. Swap them."
    )
    assert refused("identity.vehicle_number", vin="1G4AH59H45O118341") == (
        "Character 11 is “O”, which is not used here. It may be a 0. Check the plate."
    )
    assert refused("fasteners.strength", thread="M12", grade="A325") == (
        "M12 is a metric thread, but A325 is an inch grade. Check the head marking: lines are inch "
        "grades, numbers are metric classes."
    )
    assert refused("torque_tools.choice", torque=20.0, full_scales=(200.0,)) == (
        "None of these wrenches fits 14.75 ft·lbf. Use one with a full scale from 14.75 ft·lbf to "
        "73.76 ft·lbf."
    )


def test_a_figure_a_standard_prints_in_inches_stays_in_inches() -> None:
    """The sizes of A325 for whoever reads metric too."""
    sentence = refused("fasteners.strength", METRIC, thread="1/4-20 UNC", grade="A325")
    assert "it is published from 1/2 in to 1 1/2 in." in sentence


def test_a_rule_of_the_record_that_refuses_is_named_by_its_title() -> None:
    """As a limit that cannot be computed is shown."""
    with pytest.raises(RuleRefusal) as no:
        RULES["driveline.half_lengths"](longest=2.0, shortest=1.0)
    refusal = Refusal(
        "rule-refused",
        field="longest",
        rule="driveline.half_lengths",
        why=no.value.phrase,
    )
    assert refusal_text(refusal, ENGLISH) == (
        "Length of equal halves to order for a tractor and machine cannot be calculated. No "
        "two-piece driveline slides that far. Reduce the turn angle or ground movement, or ask the "
        "manufacturer for a three-piece one."
    )


def test_entries_are_asked_back_or_refused_in_a_sentence() -> None:
    """In the words of the box."""
    assert entries.text(unread("19", "length"), ENGLISH) == "“19” in which unit?"
    assert entries.text(unread("35 psi", "torque"), ENGLISH) == (
        "“psi” is a unit of pressure, and this box takes torque. Enter it with its unit, such as "
        "ft·lbf, N·m."
    )
    assert entries.text(unread("172 lb-ft (334 Nm)", "torque"), ENGLISH) == (
        "172 ft·lbf is 233.2 N·m, not 334 N·m. Which did you read?"
    )
    assert entries.text(unread("OK", "volume"), ENGLISH) == (
        "This is a note, not a measured value, and does not count. Enter the number and its unit."
    )
    refusal = refusal_of_unread(unread("85-100", "torque"), "text")
    assert (refusal.code, refusal_text(refusal, ENGLISH)) == (
        "unreadable",
        "This is a range. Enter the one value the tool showed.",
    )


def test_an_advice_is_in_the_unit_typed_or_in_a_unit_of_its_system() -> None:
    """A quart typed in inches, near a liter typed in millimeters; three digits."""
    add = Advice("add-oil", 0.000946353, "m^3")
    after = "a little at a time, let it settle, and read again."
    assert advice.text(add, ENGLISH, {"length": "in"}) == f"Add 1 US qt {after}"
    assert advice.text(add, METRIC, {"length": "mm"}) == f"Add 0,946 L {after}"
    assert advice.text(add, METRIC) == f"Add 0,946 L {after}"
    torque = Advice("tighten-blade-bolt", 583.0017, "N·m")
    assert advice.text(torque, ENGLISH, {"torque": "ft·lbf"}) == (
        "Tighten the blade bolt to 430 ft·lbf or more."
    )


def test_a_temperature_to_keep_to_is_not_degrees_to_add() -> None:
    """258.15 K are 5 °F."""
    oil = Advice("use-thinner-oil", 258.15, "K", span=False, grade="80W")
    assert advice.text(oil, ENGLISH, {"temperature": "°F"}) == (
        "Ask the manufacturer for an oil of grade 80W: it must still flow at 5 °F."
    )


def test_a_procedures_own_words_are_no_template() -> None:
    """Whatever stands in them."""
    given = Advice("as-procedure-says", 0.001, "m^3", how="see {1}")
    assert advice.text(given, METRIC) == "see {1} by 1 L, then measure again."


def test_a_difference_of_temperature_is_shown_in_kelvins_or_degrees_fahrenheit() -> None:
    """3 K are 5.4 °F."""
    warmer = Amount(3.0, "K", span=True)
    assert quantities.amount(warmer, ENGLISH) == "5.4 °F"
    assert quantities.amount(warmer, METRIC) == "3 K"


def test_findings_that_take_more_than_a_word() -> None:
    """What differs, and how tractor and machine stand."""
    speeds = phrase("speeds-differ", tractor=Amount(9.0, "1/s"), machine=Amount(1000 / 60, "1/s"))
    assert results.phrase(speeds, ENGLISH) == "speed: tractor 540 rpm, machine 1000 rpm"
    turned = phrase("right-turn", angle=Amount(0.5061454830783556, "rad"))
    assert results.phrase(turned, ENGLISH) == "29° right turn"


def test_verdicts_have_the_plain_word_and_the_standard_one() -> None:
    """With a shape of its own each, so that a black-and-white copy says the same."""
    assert verdicts.word(Verdict.CONFORMING, ENGLISH) == "in limit (conforming)"
    assert verdicts.word(Verdict.NONCONFORMING, ENGLISH) == "out of limit (nonconforming)"
    assert verdicts.explanation(Verdict.CONFORMING_GUARD, ENGLISH) == (
        "In limit, but too close to the limit for this tool. Re-measure with a more accurate tool."
    )
    assert verdicts.explanation(Verdict.NO_LIMIT, ENGLISH) == "Recorded. No limit applies."
    assert len({verdicts.mark(verdict) for verdict in Verdict}) == len(Verdict)


def test_a_drawing_is_drawn_in_the_readers_number_style() -> None:
    """A decimal comma for whoever writes one."""
    words = drawings.DrawingWords(METRIC)
    assert words.caption("probability", probability=words.number("0.748")) == (
        "Probability that the true value is in limit: 0,748."
    )


def test_lists_are_read_apart_even_where_their_members_hold_commas() -> None:
    """Semicolons then."""
    sentence = "{choices}"
    plain = {"choices": ("oiled", "waxed")}
    assert phrases.filled(sentence, plain, ENGLISH) == "oiled, waxed"
    commas = {"choices": ("plain, dry", "oiled")}
    assert phrases.filled(sentence, commas, ENGLISH) == "plain, dry; oiled"
