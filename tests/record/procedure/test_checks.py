"""Checks of a procedure before publication, each with a procedure that fails it."""

from typing import Any

import msgspec
import pytest

from prep.record.procedure.checks import check
from prep.record.procedure.document import Procedure
from prep.words.procedure_problems import problem_with_path
from prep.words.reader import ENGLISH
from tests.record.procedure.shipped import MODEL_FACTS, PROCEDURES

CUTTER = PROCEDURES["rotary-cutter-r1"]


def changed(step: str, line: str = "", **values: Any) -> Procedure:
    """The rotary cutter's procedure with fields of one step, or of one of its lines, changed."""
    document = msgspec.to_builtins(CUTTER)
    steps = {one["step"]: one for section in document["sections"] for one in section["steps"]}
    lines = {one["line"]: one for one in steps[step]["lines"]}
    (lines[line] if line else steps[step]).update(values)
    return msgspec.convert(document, Procedure)


def problems(procedure: Procedure) -> list[str]:
    """The problems found, with their paths."""
    return [problem_with_path(one, ENGLISH) for one in check(procedure, MODEL_FACTS)]


def test_an_unchanged_copy_is_clean() -> None:
    """Negative control for the tests below."""
    assert problems(changed("pieces")) == []


def test_a_state_reached_only_through_a_step_that_may_be_skipped_does_not_count() -> None:
    """Leveling comes after the blocks only through the pitch step, which may be skipped."""
    assert problems(changed("wing-level", after=["pitch"])) == [
        "level.wing-level: The work “under a raised deck” needs “deck blocked” first. Put a step "
        "that makes it in “after”."
    ]


def test_a_state_reached_through_a_step_that_is_always_done_counts() -> None:
    """The locks cannot come out unless the cylinders were cycled, and both are never skipped."""
    after = [code for code in CUTTER.steps["unfold"].after if code != "charge"]
    assert problems(changed("unfold", after=after)) == []


def test_what_makes_the_machine_safe_applies_to_every_unit() -> None:
    """Blocks for some options only would leave the others unblocked."""
    assert problems(changed("block", when={"options": ["laminated tires"]}))[0] == (
        "standing.block: The step makes the machine safe for later work, so it always applies. "
        "Remove “when”."
    )


@pytest.mark.parametrize(
    "path",
    [
        "reading.pitch.rear",  # a later line of the same step
        "reading.wing-level.center",  # a later step
        "reading.nuts.marked",  # a check, which has no value
        "reading.nuts.final.spare wheel",  # no such position
        "reading.pitch.middle",
    ],
)
def test_a_reference_is_to_a_reading_that_was_taken_before(path: str) -> None:
    """A limit that could never be computed is refused."""
    limit = {
        "nominal": {"from": path},
        "tolerance": "1/4 in",
        "source": "invented",
        "basis": "manufacturer",
    }
    assert problems(changed("pitch", "front", limit=limit)) == [
        f"level.pitch.front: “{path}” is not an earlier reading."
    ]


def test_a_rule_is_asked_only_for_what_it_gives() -> None:
    """A misspelled field is refused before publication."""
    call = {"rule": "hitch.pto_height_window", "with": {"pto_type": 1}, "field": "lowest"}
    limit = {"at_least": call, "source": "invented", "basis": "manufacturer"}
    assert problems(changed("drawbar", "stub", limit=limit)) == [
        "buyer.drawbar.stub: The rule hitch.pto_height_window has no field “lowest”. Use one of: "
        "least, most."
    ]
