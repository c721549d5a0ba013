"""Errors as problem documents (RFC 9457), in one shape for all kinds of error."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone
from rest_framework import exceptions

from api.errors import STATUS
from prep.record.refusal import Refusal
from prep.words.api_problems import SENTENCES
from tests.api.client import Api, schema
from tests.cast import PIN, Yard
from tests.refusals import everything

FRONT = {"step": "pitch", "line": "front"}
PAGE = {"photo": "5f0c7d0e-8a53-4f0e-9b5a-3d6a2f6f0f11", "writer": "ada-north"}


def test_an_ambiguous_entry_is_told_with_choices_that_can_be_sent_as_they_are(
    api: Api, yard: Yard
) -> None:
    """A bare number in a box for a length: each choice, sent as the text, is taken."""
    unit = yard.started()
    asked = api.post(f"units/{unit}/reading/take", {**FRONT, "text": "4"})
    assert asked.headers["Content-Type"] == "application/problem+json"
    assert asked.body["type"] == "urn:yardproof:problem:ambiguous"
    assert asked.body["title"] == "The entry can be read in more than one way"
    assert asked.body["status"] == asked.status == 422
    assert asked.body["detail"] == "“4” in which unit?"
    assert asked.body["errors"] == [{"detail": "“4” in which unit?", "pointer": "#/text"}]
    entries = [choice["entry"] for choice in asked.body["choices"]]
    assert entries == ["4 in", "4 mm", "4 cm", "4 ft", "4 m", "4 thou"]
    for entry in entries:
        unit = yard.started()
        taken = api.post(f"units/{unit}/reading/take", {**FRONT, "text": entry})
        assert (taken.status, taken.body["entry"]["typed"]) == (201, entry)


def test_a_release_that_is_not_ready_is_refused_with_every_reason(api: Api, yard: Yard) -> None:
    """Each with a stable code, plain words, and where to go."""
    unit = yard.started()
    sheet = api.get(f"units/{unit}/sheet", yard.mira)
    body = {"seen": sheet.body["seen"], "pin": PIN}
    refused = api.post(f"units/{unit}/release", body, yard.mira, If_Match=sheet.etag)
    assert (refused.status, refused.code) == (409, "not-ready")
    assert [reason["step"] for reason in refused.body["reasons"]] == ["block", "blades", "pitch"]
    assert refused.body["reasons"][0] == {
        "code": "step-open",
        "text": "Block the deck: to do.",
        "step": "block",
        "flag": "",
    }


def test_a_refusal_keeps_what_helps_the_person_beside_the_standard_members(
    api: Api, yard: Yard
) -> None:
    """An entry made twice: the id of the one that stands comes back."""
    unit = yard.started()
    first = api.post(f"units/{unit}/reading/take", {**FRONT, "text": "4 in"})
    again = api.post(f"units/{unit}/reading/take", {**FRONT, "text": "5 in"})
    assert (again.status, again.code) == (409, "already-entered")
    assert again.body["current"] == first.body["entry"]["id"]


@pytest.mark.parametrize(
    ("body", "detail", "pointer"),
    [
        ({"step": "pitch", "text": "4 in"}, "“line” is missing.", "#/line"),
        ({**FRONT, "text": 4}, "“text” must be of type text.", "#/text"),
        (
            {**FRONT, "text": "4 in", "instrumnet": "W-1"},
            "There is no “instrumnet” here. Known: step, line, position, supersedes, reason, "
            "paper, text, unit, instrument, confirmed.",
            "#/instrumnet",
        ),
        (
            {**FRONT, "text": "4" * 401},
            "“text” may be at most 400 long. Shorten it.",
            "#/text",
        ),
        (
            {**FRONT, "text": "4 in", "paper": {**PAGE, "written": "2026-03-02T08:15:00"}},
            "“paper.written” is not written as it must be. Check it.",
            "#/paper/written",
        ),
        (
            {**FRONT, "text": "4 in", "command": "check.complete"},
            "“command” is not one of the choices.",
            "#/command",
        ),
    ],
)
def test_a_body_that_does_not_fit_names_the_member_at_fault(
    api: Api, yard: Yard, body: Any, detail: str, pointer: str
) -> None:
    """Missing, of the wrong type, misspelt, too long, a moment without its offset, another's."""
    unit = yard.started()
    before = everything()
    answer = api.post(f"units/{unit}/reading/take", body)
    assert (answer.status, answer.code) == (422, "input-unfit")
    assert answer.body["detail"] == detail
    assert answer.body["errors"] == [{"detail": detail, "pointer": pointer}]
    assert "faults" not in answer.body
    assert everything() == before


def test_every_member_at_fault_is_named_at_once(api: Api, yard: Yard) -> None:
    """Damage of nothing, nowhere, none of it, and a member that no damage has."""
    unit = yard.started()
    before = everything()
    damage = {"what": " ", "count": 0}
    answer = api.post(f"units/{unit}/damage/note", {"damage": damage, "because": "it rained"})
    assert (answer.status, answer.code) == (422, "input-unfit")
    assert answer.body["title"] == "Some fields must be corrected"
    assert answer.body["errors"] == [
        {"detail": "There is no “because” here. Known: damage.", "pointer": "#/because"},
        {"detail": "Fill in “damage.what”.", "pointer": "#/damage/what"},
        {"detail": "“damage.where” is missing.", "pointer": "#/damage/where"},
        {"detail": "“damage.count” must be at least 1.", "pointer": "#/damage/count"},
    ]
    assert answer.body["detail"] == " ".join(one["detail"] for one in answer.body["errors"])
    assert everything() == before


def test_a_parameter_that_does_not_fit_is_named_too(api: Api, yard: Yard) -> None:
    """A filter there is none of, with those there are."""
    answer = api.get("units?color=red")
    assert (answer.status, answer.code) == (400, "no-such-filter")
    assert "sold" in answer.body["known"]


def test_a_device_time_without_its_offset_is_refused(api: Api, yard: Yard) -> None:
    """With its offset it is kept as the time the work was done."""
    then = (timezone.now() - timedelta(hours=3)).replace(microsecond=0)
    unit = yard.started(happened=then)
    before = everything()
    body = {**FRONT, "text": "4 in"}
    path = f"units/{unit}/reading/take"
    for header in ("Happened-At", "Device-Clock"):
        headers = {"Idempotency-Key": str(uuid4()), header: "2026-03-02T08:15:00"}
        refused = api.send("POST", path, headers=headers, body=body)
        assert (refused.status, refused.code) == (422, "moment-unfit")
        assert header in refused.body["detail"]
    assert everything() == before
    offset = timezone.get_fixed_timezone(timedelta(hours=1))
    taken = api.post(path, body, Happened_At=then.astimezone(offset).isoformat())
    assert taken.body["entry"]["by"]["happened"] == then.strftime("%Y-%m-%dT%H:%M:%SZ")


@pytest.mark.parametrize(
    ("content", "code"),
    [
        *((content, "body-unfit") for content in (b"{", b"[1]", b"null", b'"text"', b"\xff")),
        (b"[" * 100_000, "body-deep"),
        (b'{"text": "\\ud800"}', "body-unprintable"),
        (b'{"site": "north", "site": "south"}', "body-name-twice"),
        (b'{"text": 1%s}' % (b"0" * 40), "body-number-long"),
    ],
)
def test_a_body_that_is_no_object_of_json_is_refused(
    api: Api, yard: Yard, content: bytes, code: str
) -> None:
    """Broken, of another kind, not UTF-8, too deep, half a character."""
    headers = {"Idempotency-Key": str(uuid4())}
    answer = api.send("POST", "units/receive", headers=headers, content=content)
    assert (answer.status, answer.code) == (400, code)


def test_a_nul_character_is_refused_before_it_meets_a_database(api: Api, yard: Yard) -> None:
    """A backslash before u0000 that is itself escaped is a text like any other."""
    unit = yard.started()
    refused = api.post(f"units/{unit}/flag/raise", {"text": "leak \x00 here"})
    assert (refused.status, refused.code) == (400, "body-unprintable")
    taken = api.post(f"units/{unit}/flag/raise", {"text": "leak \\u0000 here"})
    assert taken.body["events"][0]["text"] == "leak \\u0000 here"


def test_a_body_over_a_megabyte_is_refused(api: Api, yard: Yard) -> None:
    """Pictures may be larger; JSON may not."""
    unit = yard.started()
    answer = api.post(f"units/{unit}/flag/raise", {"text": "x" * 1024 * 1024})
    assert (answer.status, answer.code) == (413, "too-large")


def test_another_media_type_is_refused(api: Api, yard: Yard) -> None:
    """A form is not JSON."""
    answer = api.send(
        "POST",
        "units/receive",
        headers={"Idempotency-Key": str(uuid4())},
        content=b"site=north",
        content_type="application/x-www-form-urlencoded",
    )
    assert (answer.status, answer.code) == (415, "unsupported-media-type")


def test_without_a_token_nothing_is_shown_and_the_way_in_is_told(api: Api, yard: Yard) -> None:
    """401 with a challenge (RFC 9110, 11.6.1), in the same form as every other problem."""
    answer = api.send("GET", "units", headers={}, anonymous=True)
    assert (answer.status, answer.code) == (401, "not-authenticated")
    assert answer.headers["WWW-Authenticate"] == "Token"
    wrong = api.send("GET", "units", headers={"Authorization": "Token nonsense"}, anonymous=True)
    assert (wrong.status, wrong.code) == (401, "token-mistyped")
    assert wrong.body["detail"] == (
        "This is not a whole token: a character is wrong or missing. Copy it again, all of it."
    )


def test_an_unknown_address_and_a_wrong_method_are_problems_too(api: Api, yard: Yard) -> None:
    """Also for an address nothing was ever at."""
    for path in ("nothing", "units/not-an-id", f"units/{uuid4()}/nothing"):
        answer = api.get(path)
        assert (answer.status, answer.code) == (404, "not-found")
        assert answer.body["detail"] == (
            "There is nothing at this address. The schema at /api/v1/schema lists all."
        )
    wrong = api.send("PUT", "units", headers={})
    assert (wrong.status, wrong.code) == (405, "method-not-allowed")
    assert wrong.headers["Allow"] == "GET, HEAD, OPTIONS"
    assert wrong.body["detail"] == (
        "This address does not take PUT. The schema says what it takes."
    )


def test_every_exception_of_the_framework_has_a_sentence_of_ours() -> None:
    """The framework's own would be in the language of the server."""
    known = [one for one in vars(exceptions).values() if isinstance(one, type)]
    codes = {
        one.default_code.replace("_", "-")
        for one in known
        if issubclass(one, exceptions.APIException)
    }
    assert len(codes) > 8
    assert codes <= set(SENTENCES)


def test_the_unexpected_is_a_problem_without_innards(
    api: Api, yard: Yard, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """The log of the service has the traceback; the answer has none of it."""

    def broken(*args: Any, **kwargs: Any) -> None:
        raise RuntimeError("secret of the house")

    monkeypatch.setattr("api.lists.read_page", broken)
    answer = api.client.get("/api/v1/units", headers={"Authorization": _token(api, yard)})
    assert answer.status_code == 500
    assert answer.json() == {
        "type": "urn:yardproof:problem:unexpected",
        "title": "Unexpected",
        "status": 500,
        "detail": "Something went wrong on our end, and it has been logged. Nothing was recorded. "
        "Try again in a moment.",
    }
    assert "secret of the house" in caplog.text


def _token(api: Api, yard: Yard) -> str:
    return f"Token {api.token(yard.ada)}"


@pytest.mark.parametrize(
    ("code", "status"),
    [
        ("no-such-unit", 404),
        ("not-allowed", 403),
        ("pin-wrong", 403),
        ("command-reused", 422),
        ("ambiguous", 422),
        ("input-unfit", 422),
        ("reason-missing", 422),
        ("changed-meanwhile", 412),
        ("content-changed", 409),
        ("on-hold", 409),
        ("password-wrong", 401),
        ("sign-in-wrong", 401),
        ("body-unfit", 400),
        ("precondition-missing", 428),
        ("too-large", 413),
        ("too-many-attempts", 429),
    ],
)
def test_a_refusal_has_the_status_its_cause_asks_for(code: str, status: int) -> None:
    """What the state of the unit does not allow is a conflict."""
    assert STATUS[Refusal(code).refusal_class] == status


GARBAGE = (b"{}", b"[]", b'{"a": 1}', b"\x00", b'{"happened": 1e400}')


def test_no_operation_breaks_on_nonsense(api: Api, yard: Yard) -> None:
    """Every operation of the schema, sent nonsense, answers with a documented problem."""
    unit = yard.started()
    values = {"unit": str(unit), "revision": "99999999999999999999", "event": "9" * 30}
    before = everything()
    tried = 0
    for path, operations in schema()["paths"].items():
        for method, operation in operations.items():
            if operation["operationId"] == "sign_out_the_token_sent_is_worthless_from_now_on":
                continue
            address = _filled(path, values)
            for content in GARBAGE if method == "post" else (b"",):
                headers = {"Idempotency-Key": str(uuid4()), "If-Match": '"1"'}
                answer = api.send(method.upper(), address, headers=headers, content=content)
                assert answer.status < 500
                tried += 1
    assert tried > 200
    assert everything()[1:3] == before[1:3]


def _filled(path: str, values: dict[str, str]) -> str:
    for name in [part[1:-1] for part in path.split("/") if part.startswith("{")]:
        given = values.get(name, str(uuid4()))
        path = path.replace("{" + name + "}", given)
    return path
