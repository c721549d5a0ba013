"""Checking and publishing documents over the API: every fault, with its place, for programs."""

from typing import Any, Final

import pytest

from prep.models import Event
from tests.api.client import Api
from tests.cast import DOCUMENTS

PROCEDURE: Final = (
    (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
)
MODEL: Final = (DOCUMENTS / "model.yaml").read_text().replace("revision: 1", "revision: 2", 1)


def faults(answer: Any) -> list[tuple[str, str, int]]:
    """Code, pointer and line of each fault."""
    assert (answer.status, answer.code) == (422, "document-unfit")
    found = [one["document"] for one in answer.body["errors"]]
    assert answer.body["count"] == len(found)
    return [(one["code"], one["pointer"], one["line"]) for one in found]


@pytest.mark.parametrize("address", ["procedures/check", "procedures/publish"])
def test_every_fault_is_named_by_the_check_as_by_publishing(api: Api, address: str) -> None:
    """The dry run and the real one say the same, and change nothing."""
    wrong = PROCEDURE.replace("kind: torque\n", "kind: tourque\n").replace("5 %", "5 psi", 1)
    before = Event.objects.count()
    answer = api.post(address, {"document": wrong}, api.yard.otto)
    assert faults(answer) == [
        ("not-a-choice", "/sections/0/steps/1/kind", 29),
        ("value-unit", "/sections/0/steps/1/lines/0/limit/tolerance", 43),
    ]
    first = answer.body["errors"][0]
    assert first["pointer"] == "#/document"
    assert first["document"]["word"] == "tourque"
    assert first["document"]["allowed"][0] == "torque"
    assert first["document"]["path"] == "section deck › step blades › kind"
    assert answer.body["errors"][1]["document"]["parameters"]["quantity"] == "torque"
    assert Event.objects.count() == before


def test_what_is_sound_is_checked_as_often_as_one_likes_and_published_once(api: Api) -> None:
    """The digest of the check is that of the revision."""
    checked = [api.post("procedures/check", {"document": PROCEDURE}, api.yard.otto) for _ in "ab"]
    assert [one.status for one in checked] == [200, 200]
    published = api.post("procedures/publish", {"document": PROCEDURE}, api.yard.otto)
    assert published.status == 201
    shown = api.get("procedures/TC-SETUP/2", api.yard.otto)
    assert shown.body["digest"] == checked[0].body["digest"]
    again = api.post("procedures/check", {"document": PROCEDURE}, api.yard.otto)
    assert faults(again) == [("revision-not-newer", "/revision", 2)]


@pytest.mark.parametrize("address", ["models/check", "models/publish"])
def test_a_model_that_would_break_a_procedure_names_its_step(api: Api, address: str) -> None:
    """With the fault of the procedure among the parameters."""
    wrong = MODEL.replace("450 ft·lbf", "90 Nmm3")
    answer = api.post(address, {"document": wrong}, api.yard.otto)
    assert faults(answer) == [("procedure-broken", "/data/blade_bolt_torque", 14)]
    parameters = answer.body["errors"][0]["document"]["parameters"]
    assert (parameters["procedure"], parameters["step"]) == ("TC-SETUP", "blades")
    assert parameters["broken"]["code"] == "model-data-unfit"


def test_a_sound_model_is_checked(api: Api) -> None:
    """Of which sort it is comes back."""
    answer = api.post("models/check", {"document": MODEL}, api.yard.otto)
    assert answer.body == {"code": "TC-12", "revision": 2, "sort": "machine"}


@pytest.mark.parametrize("address", ["procedures/check", "models/check"])
@pytest.mark.parametrize("who", ["ada", "sol", "rhea", "outsider"])
def test_a_check_costs_work_and_is_for_those_who_publish(api: Api, address: str, who: str) -> None:
    """Refused before the document is read."""
    answer = api.post(address, {"document": "[" * 5000}, getattr(api.yard, who))
    assert (answer.status, answer.code) == (403, "not-allowed")


def test_checks_are_counted(api: Api, settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """More than the stated number a minute have to wait."""
    monkeypatch.setattr("api.throttles.limit", lambda scope: (3 if scope == "check" else 1000, 60))
    codes = [
        api.post("procedures/check", {"document": PROCEDURE}, api.yard.otto).status
        for _ in range(5)
    ]
    assert codes == [200, 200, 200, 429, 429]


@pytest.mark.parametrize(
    "document",
    [
        "a: !!int x",
        "a: !!float x",
        "a: !!timestamp x",
        '"\\ud800": 1',
        "a: " + "1" * 5000,
        "[" * 3000,
    ],
)
def test_no_document_ends_in_an_error_of_ours(api: Api, document: str) -> None:
    """Answered in words."""
    for address in ("procedures/check", "models/check", "procedures/publish", "models/publish"):
        assert faults(api.post(address, {"document": document}, api.yard.otto))
