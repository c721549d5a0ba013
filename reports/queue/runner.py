"""Embedded runner: a thread of the server process that makes due documents, as workers do."""

import logging
import signal
import threading
import time
from datetime import timedelta
from typing import Final

from django.db import close_old_connections, connection

from prep.actions.statistics import refresh_statistics
from reports.queue import heartbeat, worker

log = logging.getLogger(__name__)

SWEEP: Final = timedelta(seconds=30)
STATISTICS: Final = timedelta(hours=1)


class Runner:
    """Loop that makes due documents: when nudged, and by itself at each `sweep` interval."""

    def __init__(self, sweep: timedelta = SWEEP) -> None:
        self._sweep = sweep
        self._wake = threading.Event()
        self._stopping = threading.Event()
        self._looked_at_statistics = float("-inf")

    def nudge(self) -> None:
        """Wake the loop; returns at once."""
        self._wake.set()

    def stop(self) -> None:
        """Stop after the document being made."""
        self._stopping.set()
        self._wake.set()

    def run(self) -> None:
        """Run the loop until stopped. A failure is logged, and tried again on the next pass."""
        try:
            while not self._stopping.is_set():
                self._wake.clear()
                self._make_due()
                self._wake.wait(self._sweep.total_seconds())
        finally:
            connection.close()

    def _make_due(self) -> None:
        close_old_connections()
        # Apart, because a log that cannot be sealed is no reason to make no labels.
        for part in (heartbeat.beat, worker.catch_up, worker.find, self._run_due, self._statistics):
            try:
                part()
            except Exception:
                log.exception("the runner failed; it goes on with the next look")

    def _statistics(self) -> None:
        """At the start, and once in an hour."""
        if time.monotonic() - self._looked_at_statistics >= STATISTICS.total_seconds():
            self._looked_at_statistics = time.monotonic()
            refresh_statistics()

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
    """Wake the runner of this process, if there is one."""
    for runner, _ in _running:
        runner.nudge()


def stop() -> None:
    """Stop the runner of this process and wait for it."""
    while _running:
        runner, thread = _running.pop()
        runner.stop()
        thread.join()


def work_until_stopped(interval: timedelta) -> None:
    """Run the loop in this process, at least once an `interval`, until SIGINT or SIGTERM."""
    runner = Runner(interval)
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: runner.stop())
    runner.run()
