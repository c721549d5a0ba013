"""What a program is answered while something is away: wait, and send the same again."""

from typing import Any
from uuid import uuid4

import pytest

from prep.models import Event
from tests.api.client import Api
from tests.cast import Yard
from tests.kept_yard import dumped
from tests.outages import LONG_NOTE, ON_SQLITE, database_away, database_locked, disk_full

pytestmark = pytest.mark.django_db(transaction=True)

OUTAGES = [
    pytest.param(database_away, "database-away", "30", id="database away"),
    pytest.param(database_locked, "database-busy", "5", id="database locked"),
    pytest.param(disk_full, "disk-full", "30", id="disk full", marks=ON_SQLITE),
]


@pytest.mark.parametrize(("away", "code", "seconds"), OUTAGES)
def test_a_command_is_held_off_changes_nothing_and_is_carried_out_later(
    yard: Yard, away: Any, code: str, seconds: str
) -> None:
    """The same command with the same key; what a full disk still had room for is no exception."""
    api = Api(yard)
    unit, key = yard.started(), uuid4()
    api.token(yard.ada)
    body = {"step": "block", "line": "blocked", "answer": False, "note": LONG_NOTE}
    yard.acknowledge(unit, "block")
    before = dumped()
    with away():
        answer = api.post(f"units/{unit}/check/complete", body, key=key)
    assert (answer.status, answer.code) == (503, code)
    assert answer.headers["Retry-After"] == seconds
    assert "othing was recorded" in answer.body["detail"]
    assert dumped() == before
    assert api.post(f"units/{unit}/check/complete", body, key=key).status == 201
    assert Event.objects.filter(command=key, kind="check.completed").count() == 1


@pytest.mark.parametrize(
    "away", [database_locked, pytest.param(disk_full, marks=ON_SQLITE)], ids=["locked", "full"]
)
def test_reading_goes_on_while_nothing_can_be_written(yard: Yard, away: Any) -> None:
    """The unit, its sheet, its readiness, the list of units, who you are."""
    api = Api(yard)
    unit = yard.started()
    api.token(yard.ada)
    with away():
        for path in (f"units/{unit}", f"units/{unit}/sheet", f"units/{unit}/readiness", "units"):
            assert api.get(path).status == 200
        assert api.get("me").body["username"] == yard.ada.username


def test_without_a_database_reading_is_held_off_too(yard: Yard) -> None:
    """In the language the program asks for: nobody can look up who it is."""
    api = Api(yard)
    api.token(yard.ada)
    with database_away():
        answer = api.get("me", Accept_Language="es")
    assert (answer.status, answer.code, answer.headers["Retry-After"]) == (
        503,
        "database-away",
        "30",
    )
    assert api.get("me").status == 200


def test_a_batch_is_held_off_as_a_whole_and_loses_nothing(yard: Yard) -> None:
    """The device keeps all of it, and sends it again."""
    api = Api(yard)
    unit = yard.receive()
    api.token(yard.ada)
    start = {"id": str(uuid4()), "target": str(unit), "happened": "2026-01-01T00:00:00Z"}
    batch = {
        "device": {"id": "Tablet 2", "clock": "2026-01-01T00:00:00Z"},
        "commands": [{**start, "command": {"command": "sheet.start"}}],
    }
    before = dumped()
    with database_locked():
        answer = api.send("POST", "commands", headers={}, body=batch)
    assert (answer.status, answer.code) == (503, "database-busy")
    assert dumped() == before
    (outcome,) = api.send("POST", "commands", headers={}, body=batch).body["outcomes"]
    assert outcome["status"] in {"done", "refused"}  # tried now, and told what became of it
