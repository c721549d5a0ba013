"""Sealers and writers at the same moment, on PostgreSQL.

SQLite lets one writer in at a time, so there such a test would prove nothing.
"""

import threading
from collections.abc import Callable
from contextlib import suppress
from itertools import pairwise
from pathlib import Path
from threading import BrokenBarrierError
from typing import Any

import pytest
from django.db import connection, transaction

from prep.actions import sealing
from prep.actions.perform import perform
from prep.models import Checkpoint, Event, Leaf, Unsealed
from prep.queries import log
from prep.record.log import merkle_tree
from prep.record.unit.commands.receiving import SetLocation
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def committed_yard(transactional_db: None, settings: Any, tmp_path: Path) -> Yard:
    """The cast, committed, so that other processes see it; and a key of its own."""
    settings.KEYS = tmp_path
    return make_yard()


def sealing_often(times: int) -> Callable[[], int]:
    """Work of a process that does nothing but seal."""

    def work() -> int:
        for _ in range(times):
            sealing.seal()
        return times

    return work


def units_received(yard: Yard, start: int, times: int) -> Callable[[], int]:
    """Work of a process that receives units."""

    def work() -> int:
        yard.serial = start
        for _ in range(times):
            yard.receive()
        return times

    return work


def all_in_order() -> None:
    """Every event once, no gap, and each checkpoint consistent with the next."""
    positions = Leaf.objects.order_by("position").values_list("position", flat=True)
    assert list(positions) == list(range(Event.objects.count()))
    leaves = Leaf.objects.order_by("position").values_list("event__leaf", flat=True)
    hashes = [bytes.fromhex(leaf) for leaf in leaves]
    checkpoints = list(Checkpoint.objects.order_by("size"))
    for checkpoint in checkpoints:
        assert bytes.fromhex(checkpoint.root) == merkle_tree.root_of(hashes[: checkpoint.size])
    for older, newer in pairwise(checkpoints):
        path = log.consistency_proof(older.size, newer.size)
        roots = bytes.fromhex(older.root), bytes.fromhex(newer.root)
        merkle_tree.verify_consistency(older.size, newer.size, *roots, path)


def test_two_sealers_among_two_writers_place_every_event_once(committed_yard: Yard) -> None:
    """Twenty seals each while forty units arrive."""
    sealing.seal()  # the first one makes the key, as one process does at the start
    done = in_processes(
        sealing_often(20),
        sealing_often(20),
        units_received(committed_yard, 100, 20),
        units_received(committed_yard, 200, 20),
    )
    assert done == [20, 20, 20, 20]
    sealing.seal()
    assert not Unsealed.objects.exists()
    all_in_order()


def test_two_first_sealers_make_one_key(committed_yard: Yard) -> None:
    """Who comes second signs with the key of the first."""
    assert in_processes(sealing_often(1), sealing_often(1)) == [1, 1]
    assert len(log.public_keys()) == 1
    all_in_order()


def meeting(barrier: Any, *, locked: bool) -> Callable[[], int]:
    """A seal that waits a moment, after looking at the log, for the other to look as well."""

    def work() -> int:
        look = log.with_nodes

        def look_and_wait(compute: Any) -> Any:
            found = look(compute)
            with suppress(BrokenBarrierError):
                barrier.wait(0.7)
            return found

        log.with_nodes = look_and_wait  # in this process only
        if not locked:
            sealing._lock = lambda: None
        sealing.seal()
        return 1

    return work


def test_the_lock_keeps_two_sealers_apart(committed_yard: Yard) -> None:
    """Each waits in vain for the other to be inside as well."""
    barrier = FORK.Barrier(2)
    works = [meeting(barrier, locked=True) for _ in range(2)]
    assert in_processes(*works) == [1, 1]
    all_in_order()


def test_without_the_lock_two_sealers_collide(committed_yard: Yard) -> None:
    """Negative control: both give the same positions, and only the constraint saves the log."""
    barrier = FORK.Barrier(2)
    works = [meeting(barrier, locked=False) for _ in range(2)]
    done = in_processes(*works)
    failed = [str(result) for result in done if result != 1]
    assert len(failed) == 1
    assert failed[0].startswith("IntegrityError")


def test_an_event_that_commits_late_gets_a_late_position(committed_yard: Yard) -> None:
    """Its number in the table is lower; whoever had read by that number would have missed it."""
    unit = committed_yard.receive()
    sealing.seal()
    written, commit = threading.Event(), threading.Event()

    def write_slowly() -> None:
        with transaction.atomic():
            committed_yard.receive("TC70001")
            written.set()
            commit.wait(10)
        connection.close()

    thread = threading.Thread(target=write_slowly)
    thread.start()
    assert written.wait(10)
    seen = log.size()
    perform(SetLocation(place="row 4"), actor=committed_yard.ada, target=unit)
    sealing.seal()
    commit.set()
    thread.join()
    sealing.seal()
    placed, received = log.after(seen, 10)
    assert (placed.event.kind, received.event.kind) == ("unit.placed", "unit.received")
    assert received.event.pk < placed.event.pk
    all_in_order()
