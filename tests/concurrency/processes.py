"""Running pieces of a test in processes of their own, each with its own database connection."""

import multiprocessing
from collections.abc import Callable
from typing import Any

from asgiref.local import Local
from django.db import connections

FORK = multiprocessing.get_context("fork")
_INHERITED: list[Local] = []  # kept: what is thrown away may be closed, and is the parent's


def own_connections() -> None:
    """Forget every inherited connection, in a process just forked, without a word on any of them.

    The loop of a browser gives its tests connections of their own. A child has no loop: it would
    find those from before the browser, which nobody closed, and speak between the parent's words.
    """
    kept = vars(connections)  # Django's own attribute, not in its published types
    _INHERITED.append(kept["_connections"])
    kept["_connections"] = Local(connections.thread_critical)


def in_processes(*works: Callable[[], Any], timeout: float = 60) -> list[Any]:
    """Run each work in a process at the same time; results in order, exceptions as values."""
    connections.close_all()
    results = FORK.Queue()

    def run(number: int, work: Callable[[], Any]) -> None:
        own_connections()
        try:
            results.put((number, work()))
        except Exception as wrong:
            results.put((number, f"{type(wrong).__name__}: {wrong}"))
        finally:
            connections.close_all()

    started = [FORK.Process(target=run, args=pair) for pair in enumerate(works)]
    for process in started:
        process.start()
    found = dict(results.get(timeout=timeout) for _ in started)
    for process in started:
        process.join(timeout)
    return [found[number] for number in range(len(works))]
