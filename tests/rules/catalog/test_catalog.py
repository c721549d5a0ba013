"""The catalog of rules: it refuses what a rule cannot answer, and every rule keeps its word."""

import importlib
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any

import pytest

import prep.rules
from prep.rules.catalog.catalog import RULES, In, OneOf, Parameter, Rule, RuleRefusal, Unit, rule
from prep.rules.phrase import Amount
from tests.rules.catalog.docstrings import faults

for module in pkgutil.walk_packages(prep.rules.__path__, "prep.rules."):
    importlib.import_module(module.name)

ENTERED = dict(RULES)


@pytest.fixture(autouse=True)
def _keep_test_rules_out_of_the_catalog() -> Iterator[None]:
    """Rules entered by a test leave with it."""
    yield
    RULES.clear()
    RULES.update(ENTERED)


def area_rule() -> Rule:
    """A rule as it should be: one of each kind of input."""

    @rule("test.area")
    def area(
        sides: Annotated[tuple[float, ...], In("m", 0.1, 20.0)],
        shape: Annotated[str, OneOf(("right angled", "skew"))] = "right angled",
        factor: Annotated[float | None, In("1", 0.0, 2.0)] = None,
        halved: bool = False,
        note: str = "",
    ) -> Annotated[float, Unit("m^2")]:
        """Area over two sides.

        Inputs:
            sides: m, 0.1 to 20. Two sides that
                meet in a corner.
            shape: one of right angled, skew. How they meet.
            factor: 1, 0 to 2. A share of it.
            halved: yes or no. Whether a triangle is meant.
            note: text. Where it was measured.
        Result: m^2.
        Formula: A = a b.
        Source: arithmetic.
        Example: 2 by 3 is 6.

            >>> 2.0 * 3.0
            6.0
        """
        assert len(note) <= 200
        return sides[0] * sides[1] * (factor or 1.0) * (0.5 if halved else 1.0)

    return RULES.pop("test.area")


# Every rule that is shipped


@pytest.mark.parametrize("name", sorted(ENTERED))
def test_the_docstring_of_each_rule_matches_its_signature_and_its_example_holds(name: str) -> None:
    """Inputs, units, ranges, result, source and a worked example, for every public rule."""
    assert faults(ENTERED[name]) == []


def names_another_rule(text: str, own: str = "") -> list[str]:
    """Other rules that a text for people calls by their Python name."""
    words = set(re.findall(r"[a-z_]+\.[a-z_]+", text.partition(">>>")[0]))
    return sorted(words & set(RULES) - {own})


@pytest.mark.parametrize("name", sorted(RULES))
def test_no_rule_sends_its_reader_to_a_name_of_the_program(name: str) -> None:
    """Formula and source are printed on certificates."""
    for text in RULES[name].sections.values():
        assert names_another_rule(text, name) == []


def test_a_planted_name_is_reported() -> None:
    """Negative control: what the sources used to say."""
    assert names_another_rule("Formula: as driveline.overlap, read at T.") == ["driveline.overlap"]


def test_the_catalog_is_not_empty() -> None:
    """The check above would pass on nothing."""
    assert "uncertainty.expanded" in ENTERED


# The check itself sees what is wrong


def test_a_rule_that_keeps_the_contract_has_no_fault() -> None:
    """One input of each kind, one of them explained over two lines."""
    assert faults(area_rule()) == []


@pytest.mark.parametrize(
    ("right", "wrong", "fault"),
    [
        ("sides: m, ", "sides: mm, ", "sides: unit is m, the docstring says mm"),
        ("0.1 to 20", "0.2 to 20", "sides: least is 0.1, the docstring says 0.2"),
        ("0.1 to 20", "0.1 to 200", "sides: most is 20, the docstring says 200"),
        (
            "0.1 to 20",
            "some to 20",
            "sides: least is 0.1, the docstring says some",
        ),
        (
            "m, 0.1 to 20. ",
            "",
            "sides: line must read “m, least to most. Meaning”, "
            "it is “Two sides that meet in a corner.”",
        ),
        (
            "right angled, skew. ",
            "right angled. ",
            "shape: line must start “one of right angled, skew. ”, "
            "it is “one of right angled. How they meet.”",
        ),
        (
            "yes or no. ",
            "",
            "halved: line must start “yes or no. ”, it is “Whether a triangle is meant.”",
        ),
        ("Result: m^2.", "Result: m.", "Result must start “m^2.”, it is “m.”"),
        ("Source: arithmetic.", "Source:", "the section Source is missing or empty"),
        ("Formula: A = a b.\n", "", "the section Formula is missing or empty"),
        ("    >>> 2.0 * 3.0\n    6.0", "none", "the Example has no doctest"),
    ],
)
def test_a_docstring_that_departs_from_the_signature_is_reported(
    right: str, wrong: str, fault: str
) -> None:
    """One change to a good docstring, one fault named."""
    assert faults(_with_docstring(right, wrong)) == [fault]


def test_an_example_that_does_not_hold_is_reported() -> None:
    """The doctest runs; it is not only looked for."""
    (fault,) = faults(_with_docstring("    6.0", "    7.0"))
    assert fault.startswith("the Example fails:")
    assert "Expected: 7.0 Got: 6.0" in fault


def test_an_input_that_nobody_explains_is_reported() -> None:
    """Explained inputs are the declared ones, in their order."""
    reported = faults(_with_docstring("    factor: 1, 0 to 2. A share of it.\n", ""))
    assert reported[0] == (
        "Inputs explains ['sides', 'shape', 'halved', 'note'], "
        "the signature has ['sides', 'shape', 'factor', 'halved', 'note']"
    )


def test_sections_out_of_order_are_reported() -> None:
    """Every answer shows inputs, result, formula, source and example in one order."""
    reported = faults(
        _with_docstring(
            "Formula: A = a b.\nSource: arithmetic.", "Source: arithmetic.\nFormula: A = a b."
        )
    )
    assert reported == ["the sections stand in the order Inputs, Result, Source, Formula, Example"]


def test_a_number_in_the_result_without_a_unit_is_reported() -> None:
    """A field of a result is a number of something."""

    @rule("test.split")
    def split(length: Annotated[float, In("m", 0.0, 1.0)]) -> "Halves":
        """Two halves.

        Inputs:
            length: m, 0 to 1. What is halved.
        Result: left and right in m.
        Formula: l / 2.
        Source: arithmetic.
        Example: one.

            >>> 1
            1
        """
        return Halves(length / 2, length / 2)

    assert faults(RULES["test.split"]) == ["a number in the result has no unit"]


def test_an_input_without_a_unit_cannot_be_declared() -> None:
    """A bare number is refused when the rule is entered."""

    def double(length: float) -> float:
        return 2 * length

    with pytest.raises(TypeError, match="length is declared with neither a unit and a range"):
        rule("test.double")(double)


@dataclass(frozen=True)
class Halves:
    """A result with a fault in it."""

    left: Annotated[float, Unit("m")]
    right: float


def _with_docstring(right: str, wrong: str) -> Rule:
    """The good rule entered again under a docstring with one passage exchanged."""
    function: Any = area_rule().function
    good = "\n".join(line.removeprefix(" " * 8) for line in function.__doc__.splitlines())
    assert right in good
    function.__doc__ = good.replace(right, wrong)
    rule("test.changed")(function)
    return RULES["test.changed"]


# What the catalog refuses before a rule runs


def test_a_rule_answers_when_every_input_is_in_range() -> None:
    """Both ends of the range belong to it."""
    assert area_rule()(sides=(0.1, 20.0)) == 2.0
    assert area_rule()(sides=[2, 3], factor=0.5, halved=True, shape="skew") == 1.5
    assert area_rule()(sides=(2.0, 3.0), factor=None) == 6.0


@pytest.mark.parametrize(
    ("inputs", "field", "code"),
    [
        ({}, "sides", "input-missing"),
        ({"sides": None}, "sides", "input-missing"),
        ({"sides": 2.0}, "sides", "not-a-list"),
        (
            {"sides": (2.0, 20.0001)},
            "sides",
            "out-of-range",
        ),
        ({"sides": (2.0, "3")}, "sides", "not-a-number"),
        ({"sides": (2.0, float("nan"))}, "sides", "not-a-number"),
        ({"sides": (2.0, 10**400)}, "sides", "not-a-number"),
        ({"sides": (2.0, True)}, "sides", "not-a-number"),
        (
            {"sides": (2.0, 3.0), "factor": -0.5},
            "factor",
            "out-of-range",
        ),
        ({"sides": (2.0, 3.0), "factor": "a"}, "factor", "not-a-number"),
        ({"sides": (2.0, 3.0), "factor": [1.0]}, "factor", "not-a-number"),
        (
            {"sides": (2.0, 3.0), "shape": "round"},
            "shape",
            "not-a-choice",
        ),
        ({"sides": (2.0, 3.0), "halved": 1}, "halved", "not-yes-or-no"),
        (
            {"sides": (2.0, 3.0), "note": "n" * 201},
            "note",
            "text-too-long",
        ),
        ({"sides": (2.0, 3.0), "color": 1}, "color", "unknown-input"),
    ],
)
def test_input_a_rule_cannot_answer_for_is_refused_by_name(
    inputs: dict[str, Any], field: str, code: str
) -> None:
    """The refusal names the field, and a code for why."""
    with pytest.raises(RuleRefusal) as refusal:
        area_rule()(**inputs)
    assert (refusal.value.field, refusal.value.code) == (field, code)


def test_a_value_out_of_range_comes_with_the_range_in_its_unit() -> None:
    """So that it can be shown in whichever unit the reader uses."""
    with pytest.raises(RuleRefusal) as refusal:
        area_rule()(sides=(2.0, 20.0001))
    assert refusal.value.values == {
        "value": Amount(20.0001, "m"),
        "least": Amount(0.1, "m"),
        "most": Amount(20.0, "m"),
    }
    assert str(refusal.value).startswith("sides: out-of-range (value=Amount(")


def test_a_name_is_entered_once() -> None:
    """A procedure's rule name means one computation."""
    with pytest.raises(ValueError, match=r"two rules are called uncertainty\.expanded"):
        rule("uncertainty.expanded")(area_rule().function)


def test_a_rule_shows_its_inputs_with_their_meaning() -> None:
    """What a form or a page needs to ask for the inputs."""
    assert area_rule().parameters[0] == Parameter(
        "sides",
        In("m", 0.1, 20.0),
        True,
        "m, 0.1 to 20. Two sides that meet in a corner.",
        True,
        None,
    )
