"""Workers are killed at random while they make a queue of documents; nothing is lost or doubled.

Real Celery workers and a real beat, over PostgreSQL and Redis.
"""

import hashlib
import os
import random
import signal
import subprocess
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final

import pytest
from django.core.files.storage import default_storage

from prep.actions.verifying import findings
from prep.models import Event, Unsealed
from reports import queue
from reports.builders import BUILDERS
from reports.models import DocumentRequest, State
from tests.cast import Yard, make_yard
from tests.concurrency import killable
from tests.services import environment

pytestmark = [pytest.mark.postgres, pytest.mark.redis, pytest.mark.django_db(transaction=True)]

ROOT: Final = Path(__file__).parents[2]
REDIS: Final = "redis://127.0.0.1:6379/12"
DOCUMENTS: Final = 100
CERTIFICATES: Final = 6  # of them: made by their own builder, for releases in the log
KILLS: Final = 200
WHOLE: Final = 25  # one kill in so many hits a whole worker, the others one of its processes
AIMED: Final = 0.75  # so many of the others are aimed at a process that makes a document
PATIENCE: Final = 120  # seconds


class Service:
    """One service of the killable application, with its processes in a group of their own."""

    def __init__(self, data: Path, name: str, *command: str, **more: str) -> None:
        self._command = ["celery", "-A", "tests.concurrency.killable", *command, "-l", "warning"]
        self._environment = {**environment(data, REDIS), **more}
        self._output = data / f"{name}.log"
        self._process = self._started()

    def _started(self) -> subprocess.Popen[bytes]:
        with self._output.open("ab") as output:
            return subprocess.Popen(
                self._command,
                cwd=ROOT,
                env=self._environment,
                stdout=output,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )

    def kill(self) -> None:
        """All of its processes at once, as when the machine loses power."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()

    def start_if_dead(self) -> None:
        """What the machine's service manager does."""
        if self._process.poll() is not None:
            self._process = self._started()

    def makers(self) -> list[int]:
        """Its processes that make documents."""
        children = Path(f"/proc/{self._process.pid}/task/{self._process.pid}/children")
        with suppress(OSError):  # it died meanwhile
            return [int(child) for child in children.read_text().split()]
        return []


@contextmanager
def at_work(data: Path, **more: str) -> Iterator[list[Service]]:
    """Two workers of two processes each, and beat; killed at the end, like everything here."""
    quick = ("--concurrency", "2", "--without-gossip", "--without-mingle", "--without-heartbeat")
    workers = [
        Service(data, name, "worker", "--hostname", f"{name}@kills", *quick, **more)
        for name in ("one", "two")
    ]
    beat = Service(data, "beat", "beat")
    try:
        yield workers
    finally:
        for service in (beat, *workers):
            service.kill()


@pytest.fixture
def committed_yard(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """The cast, committed; keys and files where the workers have them."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path / "keys", tmp_path / "files"
    settings.KEYS.mkdir()
    monkeypatch.setitem(BUILDERS, killable.FORM, killable.note)
    return make_yard()


def ask_for(yard: Yard, documents: int, certificates: int = 0) -> None:
    """So many documents, each of a unit of its own."""
    for _ in range(certificates):
        yard.release(yard.ready())
    for number in range(documents - certificates):
        queue.request(form=killable.FORM, cause=f"{number:03}", unit=yard.receive())


def done() -> int:
    """How many documents are made."""
    return DocumentRequest.objects.filter(state=State.DONE).count()


def wait_until(what: str, true: Callable[[], object], data: Path) -> None:
    """Fail, with what the services said, where something does not come true."""
    deadline = time.monotonic() + PATIENCE
    while not true():
        if time.monotonic() > deadline:
            logs = "\n".join(path.read_text()[-3000:] for path in data.glob("*.log"))
            pytest.fail(f"{what} did not come true in {PATIENCE} s\n{logs}")
        time.sleep(0.1)


def kept_alive(workers: list[Service]) -> list[int]:
    """Processes that make documents, after what died was started again.

    A worker one of whose processes is killed as it starts ends by itself.
    """
    for worker in workers:
        worker.start_if_dead()
    return [pid for worker in workers for pid in worker.makers()]


def beginnings(data: Path) -> list[str]:
    """The id of a document for every time it was begun."""
    return [line.split()[0] for line in killable.begun(data).read_text().splitlines()]


def making(data: Path) -> set[int]:
    """Processes that make a document just now, dead ones among them."""
    last = {
        line.split()[1]: line.split()[0] for line in killable.begun(data).read_text().splitlines()
    }
    unfinished = DocumentRequest.objects.filter(state=State.WORKING).values_list("pk", flat=True)
    wanted = {str(pk) for pk in unfinished}
    return {int(pid) for pid, request in last.items() if request in wanted}


def target(workers: list[Service], chance: random.Random, data: Path) -> int:
    """A process to kill: most times one that makes a document, else any."""
    aimed = chance.random() < AIMED
    while True:
        makers = kept_alive(workers)
        found = [pid for pid in makers if pid in making(data)] if aimed else makers
        if found:
            return chance.choice(found)
        assert done() < DOCUMENTS, "the queue was made before the last kill"
        time.sleep(0.02)


def kill_at_random(workers: list[Service], chance: random.Random, data: Path) -> None:
    """Two hundred kills at random moments, the quicker the more of the queue is made."""
    for kill in range(KILLS):
        ahead = done() / DOCUMENTS > kill / KILLS
        time.sleep(chance.uniform(0.0, 0.1 if ahead else 0.3))
        if kill % WHOLE == WHOLE - 1:
            chance.choice(workers).kill()
        else:
            with suppress(ProcessLookupError):  # its worker ended meanwhile, and it as well
                os.kill(target(workers, chance, data), signal.SIGKILL)


def lost_or_doubled(data: Path) -> list[str]:
    """Everything that is not exactly once there, in words."""
    faults = [str(found) for found in findings()]
    issued = Counter(
        Event.objects.filter(kind="document.issued").values_list("stream_id", flat=True)
    )
    begun = Counter(beginnings(data))
    numbers = Counter(DocumentRequest.objects.values_list("number", flat=True))
    kept = []
    for request in DocumentRequest.objects.all():
        if request.state != State.DONE:
            faults.append(f"{request}: {request.failure}")
            continue
        kept.append(str(request.file))
        with queue.open_file(request) as opened:
            if hashlib.sha256(opened.read()).hexdigest() != request.digest:
                faults.append(f"{request} has another digest than its file")
        if begun[str(request.pk)] > request.tries:
            faults.append(f"{request} was begun {begun[str(request.pk)]} times for {request.tries}")
        if issued[str(request.unit_id)] != 1 or numbers[request.number] != 1:
            faults.append(f"{request} was issued more or less than once")
    root = Path(default_storage.path(""))
    files = {str(path.relative_to(root)) for path in root.rglob("*") if path.is_file()}
    return faults + [f"left over: {name}" for name in sorted(files ^ set(kept))]


def test_two_hundred_kills_lose_and_double_nothing(committed_yard: Yard, tmp_path: Path) -> None:
    """A hundred documents are asked for; each is there once, with one file and one event."""
    seed = random.SystemRandom().randrange(10**6)
    print(f"seed {seed}")  # noqa: T201  # pytest shows it where the test fails
    ask_for(committed_yard, DOCUMENTS, CERTIFICATES)
    with at_work(tmp_path) as workers:
        wait_until("the first document", lambda: done() > 0, tmp_path)
        kill_at_random(workers, random.Random(seed), tmp_path)
        wait_until("the end", lambda: kept_alive(workers) and done() == DOCUMENTS, tmp_path)
    queue.catch_up()
    assert not Unsealed.objects.exists()
    assert DocumentRequest.objects.filter(form="certificate").count() == CERTIFICATES
    assert lost_or_doubled(tmp_path) == []
    broken_off = len(beginnings(tmp_path)) - (DOCUMENTS - CERTIFICATES)
    assert broken_off > KILLS / 3, "too few kills hit a document in the making"


def test_without_the_condition_of_the_claim_documents_are_begun_twice(
    committed_yard: Yard, tmp_path: Path
) -> None:
    """Negative control: the same check of the same queue sees what the claim prevents."""
    ask_for(committed_yard, 20)
    with at_work(tmp_path, **{killable.UNGUARDED: "yes"}):
        wait_until("the whole queue", lambda: done() == 20, tmp_path)
    faults = lost_or_doubled(tmp_path)
    assert any("was begun" in fault for fault in faults)
