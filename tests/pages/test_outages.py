"""What people meet while something is away, and where those look who can have it mended."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from prep.actions import sealing
from prep.actions.outages import checks
from prep.actions.outages.checks import Outage
from prep.models import Event
from reports import queue
from reports.models import DocumentRequest, Heartbeat
from reports.queue import heartbeat
from tests.cast import PASSWORD, Yard
from tests.outages import LONG_NOTE, ON_SQLITE, database_away, database_locked, disk_full
from tests.pages.visitor import Enter, step_path
from tests.stored_files import own_folders

IN_THREE = ("Not available at the moment", 'lang="es"', 'lang="fr"')


def patient(yard: Yard, who: str = "ada") -> Client:
    """Somebody signed in, to whom a failure is a page."""
    client = Client(raise_request_exception=False)
    assert client.login(username=getattr(yard, who).username, password=PASSWORD)
    return client


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("path", ["/", "/sign-in", "/lists/units/", "/verify/C-1", "/audit/"])
def test_without_a_database_every_page_is_one_page_in_three_languages(
    yard: Yard, path: str
) -> None:
    """Drawn without a query, and it keeps nobody from coming back: the session stays."""
    client = patient(yard)
    with database_away():
        answer = client.get(path, headers={"Accept-Language": "fr"})
        page = answer.content.decode()
        assert answer.status_code == 503
        assert answer["Retry-After"] == "30"
        assert answer["Cache-Control"] == "no-store"
        assert page.index('<section class="card" lang="fr">') < page.index('lang="en"')
        assert all(part in page for part in IN_THREE)
        assert answer.cookies == {}
    assert client.get("/").status_code == 200


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("away", "words"),
    [
        (database_away, "The records cannot be reached"),
        (database_locked, "did not get its turn"),
        pytest.param(disk_full, "disk is full", marks=ON_SQLITE),
    ],
    ids=["database away", "database locked", "disk full"],
)
def test_an_entry_is_not_recorded_and_the_same_form_is_taken_later(
    yard: Yard, away: Any, words: str
) -> None:
    """The form keeps its command's id; a tablet keeps the entry and sends it by itself."""
    unit = yard.started()
    client, command = patient(yard), str(uuid4())
    yard.acknowledge(unit, "block")
    answered = {"do": "check", "box": "blocked|", "answer": "no", "note": LONG_NOTE}
    form = {"command": command, **answered}
    events = Event.objects.count()
    with away():
        answer = client.post(step_path(unit, "block"), form)
        assert (answer.status_code, words in answer.content.decode()) == (503, True)
    assert Event.objects.count() == events
    assert client.post(step_path(unit, "block"), form).status_code == 302
    assert Event.objects.filter(command=command, kind="check.completed").count() == 1


@pytest.mark.django_db(transaction=True)
def test_a_process_is_alive_without_a_database_but_not_ready(
    yard: Yard, client: Client, settings: Any, tmp_path: Path
) -> None:
    """Starting it again would not help; sending it no requests would."""
    own_folders(settings, tmp_path)
    sealing.seal()
    assert client.get("/ready").json() == {"ready": True, "reasons": []}
    cache.clear()
    with database_away():
        assert client.get("/alive").content == b"alive"
        answer = client.get("/ready", headers={"Accept-Language": "es"})
        assert answer.status_code == 503
        assert answer.json()["ready"] is False
        assert [one["code"] for one in answer.json()["reasons"]] == ["database-away"]


def test_what_can_wait_is_told_and_leaves_the_service_ready(
    yard: Yard, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a worker commands are carried out all the same."""
    monkeypatch.setattr(checks, "CHECKS", [lambda: iter([Outage("broker-away")])])
    answer = client.get("/ready")
    assert answer.status_code == 200
    assert answer.json()["ready"] is True
    assert [one["code"] for one in answer.json()["reasons"]] == ["broker-away"]


def test_the_answers_to_machines_name_no_path_and_no_person(
    yard: Yard, client: Client, settings: Any, tmp_path: Path
) -> None:
    """Anybody may ask: of a key that is gone they hear the name of its file, not where it was."""
    own_folders(settings, tmp_path / "keys")
    sealing.seal()
    [file] = (tmp_path / "keys").glob("*.pem")
    file.unlink()
    answer = client.get("/ready")
    assert [one["code"] for one in answer.json()["reasons"]] == ["key-missing"]
    told = answer.content.decode()
    assert file.name in told
    assert str(tmp_path) not in told
    assert yard.otto.username not in told


@pytest.fixture
def silent_worker(yard: Yard, settings: Any, tmp_path: Path) -> Yard:
    """A worker last heard of an hour ago, and a label that has waited since."""
    own_folders(settings, tmp_path)
    hour = timedelta(hours=1)
    Heartbeat.objects.create(name="worker", seen=timezone.now() - hour)
    unit = yard.receive()
    request = queue.ask(
        actor=yard.ada, kind="labels", command=uuid4(), unit=unit, parameters={"size": "letter-10"}
    )
    DocumentRequest.objects.filter(pk=request.pk).update(due=timezone.now() - hour)
    sealing.seal()
    return yard


@pytest.mark.parametrize(
    ("who", "path", "is_told"),
    [("mira", "/", True), ("otto", "/", True), ("rhea", "/audit/", True), ("ada", "/", False)],
)
def test_a_worker_that_is_away_is_told_to_those_who_can_have_it_mended(
    silent_worker: Yard, enter: Enter, who: str, path: str, *, is_told: bool
) -> None:
    """Since when, and since when documents wait for it."""
    page = enter(getattr(silent_worker, who)).get(path).content.decode()
    assert ("No worker has run since" in page) is is_told
    assert ("Documents have been waiting since" in page) is is_told


def test_whoever_waits_for_a_document_is_told_that_nobody_makes_it(
    silent_worker: Yard, enter: Enter
) -> None:
    """Beside the document, with what to do; a moment ago it would be no news."""
    request = DocumentRequest.objects.get()
    page = enter(silent_worker.ada).get(f"/units/{request.unit_id}/").content.decode()
    assert "no documents are made at the moment" in page
    Heartbeat.objects.update(seen=timezone.now())
    page = enter(silent_worker.ada).get(f"/units/{request.unit_id}/").content.decode()
    assert "If it takes longer, tell your administrator" in page
    DocumentRequest.objects.update(due=timezone.now())
    page = enter(silent_worker.ada).get(f"/units/{request.unit_id}/").content.decode()
    assert "tell your administrator" not in page


@pytest.mark.usefixtures("silent_worker")
def test_a_sweep_is_a_sign_of_life() -> None:
    """And once the documents are made, nothing is told any more."""
    assert [one.code for one in heartbeat.workers()] == ["worker-away", "documents-wait"]
    heartbeat.beat()
    assert [one.code for one in heartbeat.workers()] == ["documents-wait"]
    queue.run_due()
    assert list(heartbeat.workers()) == []


def test_the_status_command_says_what_is_away_or_that_nothing_is(
    silent_worker: Yard, settings: Any, tmp_path: Path, capsys: Any
) -> None:
    """In a line each, with an exit code for machines."""
    with pytest.raises(SystemExit) as ended:
        call_command("status")
    assert ended.value.code == 1
    told = capsys.readouterr().err.splitlines()
    assert [line.split(" since")[0] for line in told] == [
        "No worker has run",
        "Documents have been waiting",
    ]
    Heartbeat.objects.all().delete()
    DocumentRequest.objects.all().delete()
    call_command("status")
    assert capsys.readouterr().out == "Everything the service needs is there.\n"


def test_the_page_for_a_proxy_is_whole_by_itself(capsys: Any) -> None:
    """It is written once, without a database, and says what to do in each language."""
    call_command("standing_page")
    page = capsys.readouterr().out
    assert page.count("<section") == 3
    assert "look before you send it again" in page
    assert "{" not in page
