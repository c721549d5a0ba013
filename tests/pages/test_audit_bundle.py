"""Taking an audit bundle from a page."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from reports import queue
from reports.models import DocumentRequest, State
from tests.cast import Yard
from tests.pages.visitor import Enter, post
from tests.stored_files import own_folders

PATH = "/audit/bundle/"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Keys and files of a test lie in its folder."""
    own_folders(settings, tmp_path)


def test_an_auditor_asks_follows_and_opens_the_bundle(yard: Yard, enter: Enter) -> None:
    """From the audit page; sent twice it is one; it waits, then can be opened."""
    yard.prepared()
    client, command = enter(yard.rhea), str(uuid4())
    assert PATH in client.get("/audit/").content.decode()
    for _ in range(2):
        post(client, PATH, command=command, files="on")
    asked = DocumentRequest.objects.get()
    assert "Waiting to be created" in client.get(PATH).content.decode()
    queue.run_due()
    assert f"/documents/{asked.pk}" in client.get(PATH).content.decode()
    opened = client.get(f"/documents/{asked.pk}")
    assert opened.getvalue()[:2] == b"PK"


def test_days_are_days_of_the_yard_the_last_one_included(yard: Yard, enter: Enter) -> None:
    """North yard keeps Chicago time: 2 March begins six hours after UTC does."""
    yard.receive()
    page = post(enter(yard.rhea), PATH, 409, since="2026-03-02", until="2026-03-02", site=yard.site)
    assert "Nothing was recorded in that period. Choose a longer one." in page
    assert 'value="2026-03-02"' in page
    today = datetime.now(UTC).date().isoformat()
    post(enter(yard.rhea), PATH, since="2026-03-02", site=yard.site)
    asked = DocumentRequest.objects.get()
    assert asked.parameters["since"] == "2026-03-02T00:00:00-06:00"
    assert asked.parameters["known_at"][:10] >= today


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("since", "second of March", "is not a valid date"),
        ("since", "2026-02-30", "is not a valid date"),
        ("known_at", "noon", "is not a valid date and time"),
        ("known_at", "2999-01-01T00:00", "is in the future"),
        ("site", "south", "There is no such yard"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_is_kept(
    yard: Yard, enter: Enter, field: str, typed: str, words: str
) -> None:
    """Nothing is asked for."""
    yard.receive()
    page = post(enter(yard.rhea), PATH, 409, **{field: typed})
    assert words in page
    assert not DocumentRequest.objects.exists()


@pytest.mark.parametrize("who", ["ada", "sol", "outsider"])
def test_who_may_not_audit_finds_no_such_page(yard: Yard, enter: Enter, who: str) -> None:
    """Neither to look at nor to send to."""
    yard.receive()
    client = enter(getattr(yard, who))
    assert client.get(PATH).status_code == 404
    assert client.post(PATH, {"command": str(uuid4())}).status_code == 404
    assert not DocumentRequest.objects.exists()


def test_a_bundle_is_stopped_and_made_after_all_by_whoever_asked(yard: Yard, enter: Enter) -> None:
    """Nobody else can."""
    yard.receive()
    rhea = enter(yard.rhea)
    post(rhea, PATH)
    asked = DocumentRequest.objects.get()
    assert enter(yard.mira).post(f"/documents/{asked.pk}/stop/").status_code == 404
    post(rhea, f"/documents/{asked.pk}/stop/")
    asked.refresh_from_db()
    assert asked.state == State.CANCELLED
    assert "Create anyway" in rhea.get(PATH).content.decode()
    post(rhea, f"/documents/{asked.pk}/retry/")
    queue.run_due()
    asked.refresh_from_db()
    assert asked.state == State.DONE
