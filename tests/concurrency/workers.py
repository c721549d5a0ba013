"""Workers and beat of the killable application, started for real by a test, and killed with it."""

import os
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

import pytest

from reports import queue
from reports.models import DocumentRequest, State
from tests.cast import Yard
from tests.concurrency import notes
from tests.services import environment

ROOT: Final = Path(__file__).parents[2]
REDIS: Final = "redis://127.0.0.1:6379/12"
PATIENCE: Final = 120  # seconds


class Service:
    """One service of the killable application, with its processes in a group of their own."""

    def __init__(self, data: Path, redis: str, name: str, *command: str, **more: str) -> None:
        self._command = ["celery", "-A", "tests.concurrency.killable", *command, "-l", "warning"]
        self._environment = {**environment(data, redis), **more}
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
def at_work(data: Path, redis: str = REDIS, **more: str) -> Iterator[list[Service]]:
    """Two workers of two processes each, and beat; killed at the end, like everything here."""
    quick = ("--concurrency", "2", "--without-gossip", "--without-mingle", "--without-heartbeat")
    workers = [
        Service(data, redis, name, "worker", "--hostname", f"{name}@kills", *quick, **more)
        for name in ("one", "two")
    ]
    beat = Service(data, redis, "beat", "beat")
    try:
        yield workers
    finally:
        for service in (beat, *workers):
            service.kill()


def ask_for(yard: Yard, documents: int, certificates: int = 0, first: int = 0) -> None:
    """So many documents, each of a unit of its own; their causes are counted from `first`."""
    for _ in range(certificates):
        yard.release(yard.ready())
    for number in range(documents - certificates):
        queue.request(kind=notes.FORM, cause=f"{first + number:03}", unit=yard.receive())


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
