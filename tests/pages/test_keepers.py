"""Who outside keeps the checkpoints, on the audit page and over the API."""

from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from prep.models import CheckpointKeeper
from reports import queue
from tests.api.client import Api
from tests.cast import Yard
from tests.pages.test_verification import enter
from tests.stored_files import own_folders

ADD = "/audit/keepers/north/"


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path) -> None:
    """Keys and files lie in a folder of the test."""
    own_folders(settings, tmp_path)


def typed(email: str) -> dict[str, str]:
    """A filled form."""
    return {"command": str(uuid4()), "email": email, "language": "en"}


def test_an_administrator_adds_follows_and_removes_an_address(yard: Yard) -> None:
    """Nobody yet, nothing sent yet, sent, gone."""
    client = enter("otto-north")
    assert "Nobody outside gets the checkpoint yet." in client.get("/audit/").content.decode()
    assert client.post(ADD, typed("records@kept.example"))["Location"] == "/audit/"
    page = client.get("/audit/").content.decode()
    assert "records@kept.example:" in page
    assert "nothing sent yet." in page
    queue.catch_up()
    queue.find()
    queue.run_due()
    assert "last sent" in client.get("/audit/").content.decode()
    keeper = CheckpointKeeper.objects.get()
    client.post(f"{ADD}{keeper.pk}/remove", {"command": str(uuid4())})
    assert "records@kept.example" not in client.get("/audit/").content.decode()


def test_an_auditor_sees_who_keeps_them_and_changes_nothing(yard: Yard) -> None:
    """A technician does not even see it."""
    enter("otto-north").post(ADD, typed("records@kept.example"))
    auditor = enter("rhea-north")
    page = auditor.get("/audit/").content.decode()
    assert "records@kept.example" in page
    assert "Add address" not in page
    refused = auditor.post(ADD, typed("other@kept.example"))
    assert refused.status_code == 409
    assert "Only an administrator may do this." in refused.content.decode()
    assert "records@kept.example" not in enter("ada-north").get("/audit/").content.decode()
    assert CheckpointKeeper.objects.count() == 1


def test_what_is_no_address_is_said_in_a_sentence(yard: Yard) -> None:
    """And nothing is added."""
    refused = enter("otto-north").post(ADD, typed("nobody"))
    assert refused.status_code == 409
    assert "Enter a valid e-mail address." in refused.content.decode()
    assert not CheckpointKeeper.objects.exists()


def test_a_program_adds_lists_and_removes_an_address(yard: Yard) -> None:
    """With the same permissions."""
    api = Api(yard)
    made = api.post("sites/north/keeper/add", {"email": "records@kept.example"}, yard.otto)
    assert made.status in {200, 201}
    [item] = api.get("sites/north/keepers", yard.rhea).body["items"]
    assert item == {
        "id": str(CheckpointKeeper.objects.get().pk),
        "email": "records@kept.example",
        "language": "en",
        "sent": None,
        "size": 0,
        "failed": "",
    }
    assert api.get("sites/north/keepers", yard.ada).status == 403
    assert api.get("sites/north/keepers", yard.outsider).status == 404
    gone = api.post("sites/north/keeper/remove", {"keeper": item["id"]}, yard.otto)
    assert gone.status in {200, 201}
    assert api.get("sites/north/keepers", yard.otto).body["items"] == []
