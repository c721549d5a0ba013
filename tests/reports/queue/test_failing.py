"""What fails is tried again, told, and leaves nothing behind."""

import errno
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from prep.queries.records import record_of
from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest, State
from reports.queue import publishing, worker
from reports.registry import KINDS
from tests.cast import Yard
from tests.document_kinds import built_by, one_line
from tests.reports.queue.fixtures import _one_line_builders, _own_folders, breaking, files, hurry

__all__ = ["_one_line_builders", "_own_folders", "breaking"]  # fixtures


def test_what_fails_is_tried_again_later_and_says_why(db: None, breaking: list[Exception]) -> None:
    """The failure stands on the row; the waits are 10 s, 1 min, 6 min, 36 min."""
    breaking.extend(OSError(errno.ENOSPC, "invented") for _ in range(4))
    request = queue.request(kind="labels", cause="a")
    waits = []
    for _ in range(4):
        hurry()
        before = timezone.now()
        assert queue.run_due() == 1
        request.refresh_from_db()
        waits.append(round((request.due - before).total_seconds(), -1))
        assert request.state == State.WAITING
    assert waits == [10, 60, 360, 2160]
    assert queue.failure_of(request, ENGLISH) == (
        "Try 4 of 5: The disk for the files is full. Make room on it. It will be tried again "
        "automatically."
    )
    hurry()
    queue.run_due()
    request.refresh_from_db()
    assert (request.state, request.failure) == (State.DONE, "")


def test_after_five_tries_a_person_has_to_look(db: None, breaking: list[Exception]) -> None:
    """Failed for good until somebody retries; then it is made."""
    breaking.extend(OSError("the disk is full (invented)") for _ in range(5))
    request = queue.request(kind="labels", cause="a")
    for _ in range(5):
        hurry()
        queue.run_due()
    hurry()
    assert queue.run_due() == 0
    request.refresh_from_db()
    assert request.state == State.FAILED
    with pytest.raises(Refusal, match="not-made-yet"):
        queue.open_file(request)
    queue.retry(request)
    assert (request.state, request.failure, request.tries) == (State.WAITING, "", 0)
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.DONE


def test_a_refusal_is_not_tried_again(db: None, breaking: list[Exception]) -> None:
    """What is missing does not appear by trying; the row says what to do."""
    breaking.append(Refusal("missing-data", name="TC-12", entry="mass"))
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert queue.failure_of(request, ENGLISH) == (
        "TC-12 has no “mass” in its data, and this limit needs it. Ask the service "
        "manager to add it."
    )


def test_a_failed_try_leaves_no_file(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """A builder that breaks off half-way leaves nothing published and nothing half-written."""

    def half(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = temporary_file(request, ".txt")
        path.write_text("half")
        monkeypatch.setattr(publishing, "measure", broken)
        return BuiltFile(path, "half.txt", "1", "text/plain")

    def broken(path: Path) -> tuple[str, int]:
        raise OSError("read error (invented)")

    monkeypatch.setitem(KINDS, "labels", built_by("labels", half))
    queue.request(kind="labels", cause="a")
    queue.run_due()
    assert files() == []


def test_a_cancelled_request_is_not_made(db: None) -> None:
    """Cancelled while it waits; retried, it is made after all."""
    request = queue.request(kind="labels", cause="a")
    queue.cancel(request)
    assert queue.run_due() == 0
    queue.retry(request)
    assert queue.run_due() == 1
    request.refresh_from_db()
    assert request.state == State.DONE
    with pytest.raises(Refusal, match="already-finished"):
        queue.cancel(request)
    with pytest.raises(Refusal, match="not-stopped"):
        queue.retry(request)


def test_cancelled_while_it_is_built_the_file_is_dropped(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The builder's next word of progress ends it; neither file nor event remains."""
    unit = yard.receive()

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        queue.cancel(DocumentRequest.objects.get(pk=request.pk))
        return one_line(request, progress)

    monkeypatch.setitem(KINDS, "labels", built_by("labels", build))
    request = queue.request(kind="labels", cause="a", unit=unit)
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.CANCELLED
    assert record_of(unit).documents == []
    assert [name for name in files() if "documents" in name] == []


def test_a_claim_that_ran_out_is_taken_over_and_the_first_worker_loses(yard: Yard) -> None:
    """The first worker was only slow: its file is dropped, the second one's stands."""
    unit = yard.receive()
    request = queue.request(kind="labels", cause="a", unit=unit)
    slow = worker._claim()
    assert slow is not None
    assert worker._claim() is None
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert queue.run_due() == 1
    with pytest.raises(queue.ClaimLost):
        worker._make(slow)
    request.refresh_from_db()
    assert (request.state, request.tries) == (State.DONE, 2)
    assert len(record_of(unit).documents) == 1
    assert files() == [str(request.file)]


def test_progress_keeps_a_long_claim_alive(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each word of progress is shown and puts the end of the claim off."""
    seen: list[Any] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        DocumentRequest.objects.update(lease_until=timezone.now())
        progress(40, 100)
        seen.append(DocumentRequest.objects.values("steps_done", "steps_total").get())
        assert worker._claim() is None
        return one_line(request, progress)

    monkeypatch.setitem(KINDS, "labels", built_by("labels", build))
    queue.request(kind="labels", cause="a")
    queue.run_due()
    assert seen == [{"steps_done": 40, "steps_total": 100}]
    made = DocumentRequest.objects.get()
    assert (made.state, made.steps_done, made.steps_total) == (State.DONE, 100, 100)


def test_a_worker_that_dies_every_time_is_not_followed_for_ever(db: None) -> None:
    """Five silent deaths, then the row says so."""
    request = queue.request(kind="labels", cause="a")
    for _ in range(5):
        assert worker._claim() is not None
        DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert queue.run_due() == 0
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert queue.failure_of(request, ENGLISH) == (
        "Try 5 of 5: The worker making it stopped unexpectedly: it was shut down, ran out of "
        "memory, or lost power. Fix this, then try again."
    )


def test_what_a_dead_worker_published_is_removed(yard: Yard) -> None:
    """Killed after publishing and before saying so: the next try leaves one good file."""
    unit = yard.receive()
    request = queue.request(kind="labels", cause="a", unit=unit)
    dead = worker._claim()
    assert dead is not None
    left = publishing.publish(dead, one_line(dead, lambda done, total: None))
    assert files() == [left]
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    queue.run_due()
    request.refresh_from_db()
    assert files() == [str(request.file)]
    assert str(request.file) != left


def test_a_file_built_on_another_disk_is_moved_whole(
    db: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Only beside the published files is a move atomic, so it is copied there first."""

    def elsewhere(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = tmp_path / "elsewhere.txt"
        path.write_text("whole")
        return BuiltFile(path, "elsewhere.txt", "1", "text/plain")

    moved: list[str] = []

    def noted(request: DocumentRequest, ending: str) -> Path:
        moved.append(ending)
        return temporary_file(request, ending)

    monkeypatch.setitem(KINDS, "labels", built_by("labels", elsewhere))
    monkeypatch.setattr(publishing, "_device", lambda path: path.parent == tmp_path)
    monkeypatch.setattr(publishing, "temporary_file", noted)
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        assert opened.read() == b"whole"
    assert moved == [".txt"]
    assert files() == [str(request.file)]


def test_a_document_that_was_cancelled_tells_of_no_further_try(
    db: None, breaking: list[Exception]
) -> None:
    """It failed once and would be tried again; then nobody wants it any more."""
    breaking.append(OSError("the disk is full (invented)"))
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    assert queue.failure_of(request, ENGLISH).endswith("It will be tried again automatically.")
    queue.cancel(request)
    request.refresh_from_db()
    assert queue.failure_of(request, ENGLISH) == ""
