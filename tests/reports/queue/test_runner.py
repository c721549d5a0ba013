"""The embedded runner and the separate worker do the same work, and stop when told."""

import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from prep.models import Checkpoint, Unsealed
from reports import queue
from reports.document_kind import BuiltFile, Progress
from reports.models import DocumentRequest, State
from reports.queue import runner, worker
from reports.registry import KINDS
from tests.cast import make_yard
from tests.document_kinds import built_by, one_line

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in a folder of its own; nothing is sent to a broker."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    settings.SERVICE = False
    monkeypatch.setitem(KINDS, "labels", built_by("labels", one_line))


@pytest.fixture
def running() -> Iterator[None]:
    """The runner of this process, as the server starts it."""
    runner.start()
    yield
    runner.stop()


def eventually(true: Callable[[], bool]) -> bool:
    """Whether something comes true within ten seconds."""
    end = time.monotonic() + 10
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.01)
    return False


def made(count: int) -> bool:
    """Whether so many documents are done."""
    return DocumentRequest.objects.filter(state=State.DONE).count() == count


def test_the_runner_makes_what_is_asked_for_at_once(running: None) -> None:
    """Nobody waits for the sweep: the request wakes it after its commit."""
    queue.request(kind="labels", cause="a")
    assert eventually(lambda: made(1))
    queue.request(kind="labels", cause="b")
    assert eventually(lambda: made(2))


def test_the_runner_seals_what_enters_the_log(running: None) -> None:
    """A commit wakes it; a moment later the events are under a signed root."""
    make_yard()
    assert eventually(lambda: not Unsealed.objects.exists() and Checkpoint.objects.exists())


def test_without_a_runner_nothing_happens_by_itself() -> None:
    """Events wait for their seal, requests for their worker; nothing is lost."""
    make_yard()
    queue.request(kind="labels", cause="a")
    assert not Checkpoint.objects.exists()
    assert DocumentRequest.objects.get().state == State.WAITING


def test_what_fails_once_is_done_with_the_next_look(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A runner that fell over a locked database is still there."""
    catch_up = worker.catch_up
    failures = [OSError("database is locked (invented)")]

    def failing() -> int:
        if failures:
            raise failures.pop()
        return catch_up()

    monkeypatch.setattr(worker, "catch_up", failing)
    queue.request(kind="labels", cause="a")
    runner.start()
    assert eventually(lambda: not failures)
    runner.nudge()
    assert eventually(lambda: made(1))
    runner.stop()
    assert "the runner failed; it goes on with the next look" in caplog.text


def test_stopping_finishes_the_document_being_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """The one in hand is finished, the next is left to the next worker."""
    begun, go_on = threading.Event(), threading.Event()

    def slow(request: DocumentRequest, progress: Progress) -> BuiltFile:
        begun.set()
        go_on.wait(10)
        return one_line(request, progress)

    monkeypatch.setitem(KINDS, "labels", built_by("labels", slow))
    queue.request(kind="labels", cause="a")
    queue.request(kind="labels", cause="b")
    runner.start()
    assert begun.wait(10)
    threading.Timer(0.1, go_on.set).start()
    runner.stop()
    states = DocumentRequest.objects.order_by("created").values_list("state", flat=True)
    assert list(states) == [State.DONE, State.WAITING]


def test_the_separate_worker_does_the_same_until_it_is_told_to_stop(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """`manage.py make_documents` makes what is due and ends on a service manager's signal."""
    queue.request(kind="labels", cause="a")
    before = signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)
    threading.Timer(1.0, os.kill, (os.getpid(), signal.SIGTERM)).start()
    try:
        call_command("make_documents", interval=0.1)
    finally:
        signal.signal(signal.SIGINT, before[0])
        signal.signal(signal.SIGTERM, before[1])
    assert made(1)
    assert "Stop with Ctrl-C" in capsys.readouterr().out
