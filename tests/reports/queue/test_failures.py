"""What stands in the way of a document is told where people look, and passes when it is gone."""

import errno
import os
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any, ClassVar

import pytest
from django.conf import settings as project_settings
from django.core.files import File
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, Storage, default_storage
from django.db import connection
from django.test import Client
from django.utils import timezone
from kombu import Connection
from kombu.exceptions import OperationalError as BrokerError

from prep.words.reader import ENGLISH
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest, State
from reports.queue import claims, publishing, tasks, worker
from reports.queue.failure_words import failure_of
from reports.registry import KINDS
from tests.api.client import Api
from tests.cast import PASSWORD, Yard
from tests.document_kinds import built_by, one_line


class Bucket(Storage):
    """An object storage: names and contents, no folders and no paths on a disk."""

    objects: ClassVar[dict[str, bytes]] = {}

    def _save(self, name: str, content: File) -> str:  # type: ignore[type-arg]  # in the stubs only
        self.objects[name] = content.read()
        return name

    def _open(self, name: str, mode: str = "rb") -> ContentFile:  # type: ignore[type-arg]  # the same
        return ContentFile(self.objects[name], name)

    def exists(self, name: str) -> bool:
        return name in self.objects

    def delete(self, name: str) -> None:
        self.objects.pop(name, None)

    def listdir(self, path: str) -> tuple[list[str], list[str]]:
        below = [name.removeprefix(f"{path}/") for name in self.objects if name.startswith(path)]
        folders = {name.partition("/")[0] for name in below if "/" in name}
        return sorted(folders), sorted(name for name in below if "/" not in name)


Build = Callable[[DocumentRequest, Progress], BuiltFile]
AGAIN = "It will be tried again automatically."


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in a folder of its own; labels are made plainly."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    monkeypatch.setitem(KINDS, "labels", built_by("labels", one_line))


@pytest.fixture
def tried(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Callable[[Build], DocumentRequest]:
    """The request for a unit's labels, after a builder tried once to make them."""

    def attempt(build: Build) -> DocumentRequest:
        monkeypatch.setitem(KINDS, "labels", built_by("labels", build))
        request = queue.request(kind="labels", cause="a", unit=yard.receive(), person=yard.ada)
        queue.run_due()
        monkeypatch.setitem(KINDS, "labels", built_by("labels", one_line))
        request.refresh_from_db()
        return request

    return attempt


def made_at_last(request: DocumentRequest) -> bool:
    """Whether the next try makes it, and nothing of the failure is left."""
    DocumentRequest.objects.filter(state=State.WAITING).update(due=timezone.now())
    queue.run_due()
    request.refresh_from_db()
    return request.state == State.DONE and not request.failure and files() == [str(request.file)]


def files() -> list[str]:
    """Everything in the folder of files, published or not."""
    root = Path(project_settings.MEDIA_ROOT)
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def test_a_full_disk_is_told_on_the_units_page_and_by_the_api(
    yard: Yard, tried: Callable[[Build], DocumentRequest]
) -> None:
    """The kernel's own full device refuses the builder's bytes; room made, the next try has it."""

    def on_full_disk(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = temporary_file(request, ".txt")
        path.unlink()
        path.symlink_to("/dev/full")
        path.write_text("too much")
        raise AssertionError("written to a full disk")

    request = tried(on_full_disk)
    words = f"Try 1 of 5: The disk for the files is full. Make room on it. {AGAIN}"
    assert (request.state, failure_of(request, ENGLISH)) == (State.WAITING, words)
    [shown] = Api(yard).get(f"units/{request.unit_id}/documents").body["items"]
    assert (shown["state"], shown["failure"]) == ("waiting", words)
    browser = Client()
    assert browser.login(username=yard.ada.username, password=PASSWORD)
    assert words in browser.get(f"/units/{request.unit_id}/").content.decode()
    assert made_at_last(request)


def test_a_storage_that_may_not_be_written_is_told(
    tried: Callable[[Build], DocumentRequest], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Publishing fails, the built file is dropped, and the row says who has to do what."""

    def refuses(*_: Any, **__: Any) -> str:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    with monkeypatch.context() as patch:
        patch.setattr(FileSystemStorage, "_save", refuses)
        request = tried(one_line)
    assert failure_of(request, ENGLISH) == (
        "Try 1 of 5: The service is not allowed to write its files. Give it write access to their "
        f"folder. {AGAIN}"
    )
    assert files() == []
    assert made_at_last(request)


def test_a_worker_out_of_memory_is_told(tried: Callable[[Build], DocumentRequest]) -> None:
    """Four million terabytes are refused by every machine."""

    def greedy(request: DocumentRequest, progress: Progress) -> BuiltFile:
        bytearray(2**62)
        return one_line(request, progress)

    request = tried(greedy)
    assert failure_of(request, ENGLISH) == (
        "Try 1 of 5: The worker ran out of memory. Give it more, or ask for less at once. " + AGAIN
    )
    assert made_at_last(request)


def test_what_nobody_foresaw_is_told_as_it_is(tried: Callable[[Build], DocumentRequest]) -> None:
    """The one text that is for whoever looks after the service."""

    def wrong(request: DocumentRequest, progress: Progress) -> BuiltFile:
        raise ValueError("a fifth wheel (invented).")

    assert failure_of(tried(wrong), ENGLISH) == (
        "Try 1 of 5: Unexpected error (ValueError: a fifth wheel (invented)). See the worker log. "
        f"{AGAIN}"
    )


def test_a_silent_death_is_told_while_the_next_try_is_made(yard: Yard) -> None:
    """Killed from outside a worker cannot say anything; whoever takes over says it."""
    request = queue.request(kind="labels", cause="a", unit=yard.receive())
    assert worker._claim() is not None
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert worker._claim() is not None
    request.refresh_from_db()
    assert (request.state, request.tries) == (State.WORKING, 2)
    assert failure_of(request, ENGLISH) == (
        "Try 1 of 5: The worker making it stopped unexpectedly: it was shut down, ran out of "
        f"memory, or lost power. {AGAIN}"
    )


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_a_database_gone_while_building_is_told_once_it_is_back(
    tried: Callable[[Build], DocumentRequest],
) -> None:
    """The server ends the worker's connection half-way; a new one takes the word."""

    def cut_off(request: DocumentRequest, progress: Progress) -> BuiltFile:
        temporary_file(request, ".txt")
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(pg_backend_pid())")
        raise AssertionError("still connected")

    request = tried(cut_off)
    assert failure_of(request, ENGLISH) == (
        f"Try 1 of 5: The database could not be reached while it was made. {AGAIN}"
    )
    assert made_at_last(request)


def test_whoever_stops_a_document_leaves_no_file_of_dead_tries(yard: Yard) -> None:
    """Cancelled, or given up: what dead workers built and published goes with it."""
    for end in (queue.cancel, _give_up):
        request = queue.request(kind="labels", cause=end.__name__, unit=yard.receive())
        dead = worker._claim()
        assert dead is not None
        publishing.publish(dead, one_line(dead, lambda done, total: None))
        temporary_file(dead, ".txt")
        assert len(files()) == 2
        end(request)
        request.refresh_from_db()
        assert request.state in (State.CANCELLED, State.FAILED)
        assert files() == []


def _give_up(request: DocumentRequest) -> None:
    """The worker dies in every try."""
    DocumentRequest.objects.filter(pk=request.pk).update(
        lease_until=timezone.now() - timedelta(seconds=1), tries=claims.TRIES
    )
    queue.run_due()


def test_a_broker_that_is_away_keeps_nobody_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody listens on port 1: that is known at once, without a pause and another attempt."""
    pauses: list[float] = []
    monkeypatch.setattr("kombu.utils.functional.sleep", pauses.append)
    options = project_settings.CELERY_BROKER_TRANSPORT_OPTIONS
    away = Connection("redis://127.0.0.1:1/0", transport_options=options)
    with pytest.raises(BrokerError, match="Connection refused"):
        away.default_channel  # noqa: B018  # asking for it connects
    assert pauses == []


def test_a_document_asked_for_without_a_broker_is_made_by_the_sweep(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No word of it was ever sent; the sweep finds the row and sends it on."""
    monkeypatch.setattr("reports.queue.tasks.run_one.delay", tasks.run_one)
    request = DocumentRequest.objects.create(kind="labels", cause="a", unit_id=yard.receive())
    tasks.sweep()
    request.refresh_from_db()
    assert request.state == State.DONE


def test_a_storage_without_paths_keeps_documents_as_well(settings: Any, yard: Yard) -> None:
    """As an object storage: published, taken over from a dead worker, opened, stopped."""
    settings.STORAGES = {
        **settings.STORAGES,
        "default": {"BACKEND": f"{__name__}.{Bucket.__name__}"},
    }
    request = queue.request(kind="labels", cause="a", unit=yard.receive())
    dead = worker._claim()
    assert dead is not None
    left = publishing.publish(dead, one_line(dead, lambda done, total: None))
    assert default_storage.exists(left)
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.DONE
    assert not default_storage.exists(left)
    with queue.open_file(request) as opened:
        assert opened.read() == b"a"
    stopped = queue.request(kind="labels", cause="b", unit=request.unit_id)
    queue.cancel(stopped)
    assert list(Bucket.objects) == [str(request.file)]
    assert files() == []
