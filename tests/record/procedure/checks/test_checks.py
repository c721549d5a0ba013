"""Checks of a procedure before publication, each with a procedure that fails it."""

from typing import Any

import msgspec
import pytest

from prep.record.procedure.checks.check import problems_of
from prep.record.procedure.document import Procedure
from tests.record.procedure.shipped import KNOWN, PROCEDURES

CUTTER = PROCEDURES["rotary-cutter-r1"]


def changed(step: str, line: str = "", **values: Any) -> Procedure:
    """The rotary cutter's procedure with fields of one step, or of one of its lines, changed."""
    document = msgspec.to_builtins(CUTTER)
    steps = {one["step"]: one for section in document["sections"] for one in section["steps"]}
    lines = {one["line"]: one for one in steps[step]["lines"]}
    (lines[line] if line else steps[step]).update(values)
    return msgspec.convert(document, Procedure)


def problems(procedure: Procedure) -> list[tuple[str, Any]]:
    """The problems found: code, and the last name of the path."""
    found = problems_of(procedure, KNOWN)
    return [
        (one.code, next(part for part in reversed(one.path) if isinstance(part, str)))
        for one in found
    ]


def test_an_unchanged_copy_is_clean() -> None:
    """Negative control for the tests below."""
    assert problems(changed("pieces")) == []


def test_a_state_reached_only_through_a_step_that_may_be_skipped_does_not_count() -> None:
    """Leveling comes after the blocks only through the pitch step, which may be skipped."""
    found = list(problems_of(changed("wing-level", after=["pitch"]), KNOWN))
    assert [(one.code, one.values["states"], one.allowed) for one in found] == [
        ("work-not-safe", ("deck blocked",), ("block", "block-open"))
    ]


def test_a_state_reached_through_a_step_that_is_always_done_counts() -> None:
    """The locks cannot come out unless the cylinders were cycled, and both are never skipped."""
    after = [code for code in CUTTER.steps["unfold"].after if code != "charge"]
    assert problems(changed("unfold", after=after)) == []


def test_what_makes_the_machine_safe_applies_to_every_unit() -> None:
    """Blocks for some options only would leave the others unblocked."""
    conditional = changed("block", when={"options": ["laminated tires"]})
    assert problems(conditional)[0] == ("safety-conditional", "when")


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("reading.pitch.rear", "reading-not-earlier"),  # a later line of the same step
        ("reading.wing-level.center", "reading-not-earlier"),  # a later step
        ("reading.nuts.marked", "reading-not-earlier"),  # a check, which has no value
        ("reading.tires.pressure.spare wheel", "reading-position"),  # no such position
        ("reading.nuts.final", "reading-not-earlier"),  # what a wrench was set to
        ("reading.pitch.middle", "reading-not-earlier"),
    ],
)
def test_a_reference_is_to_a_reading_that_was_taken_before(path: str, code: str) -> None:
    """A limit that could never be computed is refused."""
    limit = {
        "nominal": {"from": path},
        "tolerance": "1/4 in",
        "source": "invented",
        "basis": "manufacturer",
    }
    assert problems(changed("pitch", "front", limit=limit)) == [(code, "from")]


def test_a_rule_is_asked_only_for_what_it_gives() -> None:
    """A misspelled field is refused before publication, with those there are."""
    call = {"rule": "hitch.pto_height_window", "with": {"pto_type": 1}, "field": "lowest"}
    limit = {"at_least": call, "source": "invented", "basis": "standard"}
    [found] = problems_of(changed("drawbar", "stub", limit=limit), KNOWN)
    assert (found.code, found.allowed) == ("rule-field-unknown", ("least", "most"))


def test_what_a_rule_computes_is_not_called_the_manufacturers() -> None:
    """The gas law is nobody's manual; a rule that says whose value decided may be."""
    call = {"rule": "hitch.pto_height_window", "with": {"pto_type": 1}, "field": "least"}
    limit = {"at_least": call, "source": "invented", "basis": "manufacturer"}
    assert problems(changed("drawbar", "stub", limit=limit)) == [
        ("limit-not-the-manufacturers", "basis")
    ]
    power = CUTTER.steps["tractor-size"].by_line["power"].limit
    assert power is not None
    assert power.basis == "manufacturer"
