"""The embedded runner: one thread of the serving process that does what workers do."""

import logging
import signal
import threading
from datetime import timedelta
from typing import Final

from django.db import close_old_connections, connection

from reports.queue import worker

log = logging.getLogger(__name__)

SWEEP: Final = timedelta(seconds=30)


class Runner:
    """Works when told that there is work, and looks by itself every so often."""

    def __init__(self, sweep: timedelta = SWEEP) -> None:
        self._sweep = sweep
        self._wake = threading.Event()
        self._stopping = threading.Event()

    def nudge(self) -> None:
        """There is work. Returns at once."""
        self._wake.set()

    def stop(self) -> None:
        """Stop after the document being made."""
        self._stopping.set()
        self._wake.set()

    def run(self) -> None:
        """Work until stopped. What fails is logged, and tried again with the next look."""
        try:
            while not self._stopping.is_set():
                self._wake.clear()
                self._work()
                self._wake.wait(self._sweep.total_seconds())
        finally:
            connection.close()

    def _work(self) -> None:
        close_old_connections()
        # Apart, because a log that cannot be sealed is no reason to make no labels.
        for part in (worker.catch_up, self._run_due):
            try:
                part()
            except Exception:
                log.exception("the runner failed; it goes on with the next look")

    def _run_due(self) -> None:
        while not self._stopping.is_set() and worker.run_one():
            pass


_running: list[tuple[Runner, threading.Thread]] = []


def start() -> None:
    """Start the runner of this process. The server calls it once, before it takes requests."""
    runner = Runner()
    thread = threading.Thread(target=runner.run, name="documents", daemon=True)
    _running.append((runner, thread))
    thread.start()


def nudge() -> None:
    """Tell the runner of this process, if there is one, that there is work."""
    for runner, _ in _running:
        runner.nudge()


def stop() -> None:
    """Stop the runner of this process and wait for it."""
    while _running:
        runner, thread = _running.pop()
        runner.stop()
        thread.join()


def work_until_stopped(every: timedelta) -> None:
    """Work in this process, with a look every so often, until it is interrupted or terminated."""
    runner = Runner(every)
    for asked in (signal.SIGINT, signal.SIGTERM):
        signal.signal(asked, lambda *_: runner.stop())
    runner.run()
