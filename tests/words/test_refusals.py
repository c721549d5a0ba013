"""Refusals and reasons in full sentences, for each reader."""

import ast
import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, Final

import pytest

from prep.record.procedure.document import Hazard, Work
from prep.record.refusal import Refusal
from prep.record.refusal_codes import CODES
from prep.record.roles import Role
from prep.record.stored_refusals import restored, stored
from prep.record.unit import readiness as rules
from prep.record.unit.readiness import Reason
from prep.record.unit.sheet import FINISHED, Status
from prep.words import hazards, permissions
from prep.words.lists import all_of, one_of
from prep.words.reader import ENGLISH, LANGUAGES, Reader
from prep.words.readiness import SENTENCES as REASONS
from prep.words.readiness import in_short, reason_text, shown_reasons
from prep.words.refusals import SAID_ELSEWHERE, refusal_details, refusal_text
from tests.architecture.test_refusals import placeholders

# A detail of each kind that is more than a text.
SAMPLES: Final[dict[str, Any]] = {
    "known_at": datetime(2026, 3, 2, 8, 15, tzinfo=UTC),
    "begun": datetime(2026, 3, 2, 8, 15, tzinfo=UTC),
    "due": date(2026, 3, 1),
    "missing": ("buyer address",),
    "moment": datetime(2026, 3, 2, 8, 15, tzinfo=UTC),
    "quantity": "torque",
    "reasons": [Reason("no-model").stored()],
    "role": Role.TECHNICIAN,
    "roles": (Role.SERVICE_MANAGER, Role.ADMINISTRATOR),
    "rule": "driveline.half_lengths",
    "seconds": 30,
    "sizes": ("a4-24", "roll-50x25"),
    "states": [Hazard.DECK_BLOCKED],
    "work": [Work.UNDER_RAISED_DECK],
}
# A flag is a reason of its own; a step that is begun names its open boxes.
SAID_OTHERWISE: Final = {Status.FLAGGED, Status.BEGUN}
TO_DO: Final = Reason("step-open", {"step_title": "Block the deck", "status": "to-do"}, "block")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("code", sorted(set(CODES) - SAID_ELSEWHERE))
def test_each_refusal_is_said_in_each_language(code: str, language: str) -> None:
    """With whatever it brings; no value is lost, and none is left open."""
    details = {name: SAMPLES.get(name, f"<{name}>") for name in CODES[code].details}
    refusal, reader = Refusal(code, **details), Reader(language=language)
    said = refusal_text(refusal, reader)
    assert said
    assert refusal_text(restored(json.loads(json.dumps(stored(refusal)))), reader) == said
    assert not placeholders(said)


def test_whoever_may_is_named_with_its_article() -> None:
    """As one would say it at the counter."""
    no = Refusal("not-allowed", roles=(Role.ADMINISTRATOR, Role.SALES, Role.SERVICE_MANAGER))
    assert refusal_text(no, ENGLISH) == (
        "Only an administrator, a salesperson or a service manager may do this. Have one of them "
        "sign in and do it."
    )


def test_a_tool_past_its_calibration_is_refused_with_its_day() -> None:
    """The month in letters."""
    no = Refusal("instrument-overdue", name="Torque wrench W-2", due=date(2026, 3, 1))
    assert refusal_text(no, ENGLISH) == (
        "Torque wrench W-2 was due for calibration on 1 Mar 2026. Use a tool in calibration, and "
        "send this one in."
    )


def test_what_a_registration_is_missing_comes_with_what_to_do() -> None:
    """An item of the model's own list is asked for by the manufacturer."""
    no = Refusal("registration-incomplete", missing=("buyer address", "hour_meter"))
    assert refusal_text(no, ENGLISH) == (
        "The registration is missing: buyer address and hour_meter. Add it, then have the "
        "registration made again."
    )
    assert refusal_details(no, ENGLISH)["missing"] == [
        {"name": "buyer address", "do": "Add the buyer's mailing address."},
        {"name": "hour_meter", "do": "The manufacturer asks for it with every registration."},
    ]


def test_lists_are_joined_as_people_say_them() -> None:
    """Semicolons where an item has a comma of its own; nothing is none."""
    assert all_of([], ENGLISH) == "none"
    assert all_of(["left"], ENGLISH) == "left"
    assert all_of(["left", "center", "right"], ENGLISH) == "left, center and right"
    assert one_of(["Row C, bay 4", "Row D", "Row E"], ENGLISH) == "Row C, bay 4; Row D or Row E"


@pytest.mark.parametrize(
    ("code", "values", "said"),
    [
        ("on-hold", {"reason": "Bulletin (invented)."}, "On hold: Bulletin (invented)."),
        ("no-model", {}, "The model is not set yet."),
        ("no-sheet", {}, "Preparation has not been started."),
        ("shortage", {"part": "Tube", "count": 1, "expected": ""}, "Missing: Tube."),
        ("shortage", {"part": "Nut", "count": 4, "expected": ""}, "Missing: 4 × Nut."),
        (
            "shortage",
            {"part": "Nut", "count": 4, "expected": "Friday"},
            "Missing: 4 × Nut, expected Friday.",
        ),
        ("flag-open", {"about": {"origin": "person", "text": "Scraped paint."}}, "Scraped paint."),
        (
            "step-waits",
            {"step_title": "Torque the bolts", "titles": ["Block the deck", "Chock the wheels"]},
            "Torque the bolts: waits for Block the deck and Chock the wheels.",
        ),
        (
            "step-begun",
            {"step_title": "Level", "boxes": ["Front tip height"]},
            "Level: still open: Front tip height.",
        ),
        ("step-open", {"step_title": "Level", "status": "to-do"}, "Level: to do."),
    ],
)
def test_a_reason_is_said_with_what_it_is_about(
    code: str, values: dict[str, Any], said: str
) -> None:
    """One sentence each, as the yard list and the unit's page show it."""
    assert reason_text(Reason(code, values).stored(), ENGLISH) == said


def test_programs_get_a_reason_with_its_code_and_where_to_go() -> None:
    """The values are in the text."""
    assert shown_reasons([TO_DO], ENGLISH) == [
        {"code": "step-open", "text": "Block the deck: to do.", "step": "block", "flag": ""}
    ]


def test_several_reasons_in_short_are_the_first_and_a_count() -> None:
    """One line has no room for all."""
    assert in_short([TO_DO.stored()], ENGLISH) == "Block the deck: to do."
    assert in_short([TO_DO.stored()] * 3, ENGLISH) == "Block the deck: to do. And 2 more."


@pytest.mark.parametrize("status", sorted(set(Status) - FINISHED - SAID_OTHERWISE))
def test_each_status_of_an_open_step_has_its_words(status: Status) -> None:
    """In each language."""
    for language in LANGUAGES:
        reason = Reason("step-open", {"step_title": "Level", "status": status.value})
        assert reason_text(reason.stored(), Reader(language=language))


def test_each_reason_has_its_sentence_and_no_sentence_stands_for_nothing() -> None:
    """By the syntax tree of the module that finds them."""
    found = set()
    for node in ast.walk(ast.parse(Path(str(rules.__file__)).read_text())):
        match node:
            case ast.Call(func=ast.Name(id="Reason"), args=[ast.Constant(value=code), *_]):
                found.add(code)
            case ast.Assign(value=ast.Tuple(elts=[ast.Constant(value=code), ast.Dict()])):
                found.add(code)
    assert found == {*REASONS, "flag-open"}  # a flag has words of its own


def test_each_role_and_each_dangerous_work_has_its_words() -> None:
    """And each safe state."""
    assert set(permissions.HOLDERS) == set(Role)
    assert set(hazards.STATES) == set(Hazard)
    assert set(hazards.WORK) == set(Work)
