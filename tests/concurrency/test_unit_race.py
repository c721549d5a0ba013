"""Two processes on one unit at the same moment, on PostgreSQL.

SQLite ignores row locks, so there such a test would prove nothing.
"""

from collections.abc import Callable
from contextlib import suppress
from threading import BrokenBarrierError
from typing import Any
from unittest.mock import patch
from uuid import UUID

import pytest

from prep.actions.log import append
from prep.actions.perform import perform
from prep.actions.streams.all_streams import UNITS
from prep.actions.submission import Submission
from prep.models import Event, Person, Unit
from prep.record.refusal import Refusal
from prep.record.unit.commands.receiving import ArrivalDamage, NoteDamage, ReceiveUnit
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes
from tests.record.unit.invariants import rebuilt_differs

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def committed_yard(transactional_db: None) -> Yard:
    """The cast, committed, so that other processes see it."""
    return make_yard()


def noting_damage(yard: Yard, unit: UUID, name: str, times: int) -> Callable[[], int]:
    """Work of one process: `times` notes of damage; the number that went in."""

    def work() -> int:
        for number in range(times):
            perform(
                NoteDamage(damage=ArrivalDamage(f"Scratch {name}{number}", "frame")),
                actor=yard.ada,
                target=unit,
            )
        return times

    return work


def meeting(barrier: object, work: Callable[[], int | str]) -> Callable[[], int | str]:
    """The same work, but each append waits a moment for the other process to be there too."""

    def met() -> int | str:
        def wait_then_append(*args: Any, **more: Any) -> None:
            with suppress(BrokenBarrierError):
                barrier.wait(0.7)  # type: ignore[attr-defined]  # a barrier of multiprocessing
            append(*args, **more)

        with patch("prep.actions.perform.append", wait_then_append):  # in this process only
            return work()

    return met


def unlocked(work: Callable[[], int]) -> Callable[[], int | str]:
    """The same work without the row lock; where it is refused, the refusal and its cause."""

    def work_unlocked() -> int | str:
        try:
            with patch.object(UNITS, "lock"):  # in this process only
                return work()
        except Refusal as no:
            return f"{no.code}: {no.__cause__}"

    return work_unlocked


def versions(unit: UUID) -> list[int]:
    """Versions of the unit's stream, in order."""
    return list(
        Event.objects.filter(stream_id=str(unit))
        .order_by("version")
        .values_list("version", flat=True)
    )


def test_two_processes_lose_nothing(committed_yard: Yard) -> None:
    """Twenty notes from each; forty in the log, without gap, and the index agrees."""
    unit = committed_yard.receive()
    start = len(versions(unit))
    done = in_processes(
        noting_damage(committed_yard, unit, "A", 20), noting_damage(committed_yard, unit, "B", 20)
    )
    assert done == [20, 20]
    assert versions(unit) == list(range(1, start + 81))  # each note is two events: damage, flag
    assert rebuilt_differs(unit) == []


def test_the_row_lock_keeps_two_writers_apart(committed_yard: Yard) -> None:
    """Each waits in vain for the other to be inside as well: they go one after the other."""
    unit = committed_yard.receive()
    barrier = FORK.Barrier(2)
    works = [noting_damage(committed_yard, unit, name, 1) for name in "AB"]
    assert in_processes(*(meeting(barrier, work) for work in works)) == [1, 1]
    assert rebuilt_differs(unit) == []


def test_without_the_lock_the_two_collide(committed_yard: Yard) -> None:
    """Negative control: both decide on the same version, and only the constraint saves the log."""
    unit = committed_yard.receive()
    start = len(versions(unit))
    barrier = FORK.Barrier(2)
    works = [noting_damage(committed_yard, unit, name, 1) for name in "AB"]
    done = in_processes(*(meeting(barrier, unlocked(work)) for work in works))
    failed = [result for result in done if result != 1]
    assert len(failed) == 1
    assert str(failed[0]).startswith("changed-meanwhile: ")
    assert "event_version_once" in str(failed[0])
    assert versions(unit) == list(range(1, start + 3))
    assert rebuilt_differs(unit) == []


def test_one_command_sent_twice_at_once_counts_once(committed_yard: Yard) -> None:
    """The tablet's two flushes meet: one outcome, one event."""
    unit = committed_yard.started()
    same = Submission()

    def send() -> list[object]:
        outcome = committed_yard.take(unit, "pitch", "front", "4 in", command=same)
        return [outcome.version, outcome.events[0].reading]

    first, second = in_processes(send, send)
    assert first == second
    assert Event.objects.filter(command=same.id).count() == 1


def test_one_unit_received_twice_at_once_is_one_unit(committed_yard: Yard) -> None:
    """Two receivers at the truck: the second hears that it is already here."""

    def receive(actor: Person) -> Callable[[], str]:
        def work() -> str:
            try:
                perform(
                    ReceiveUnit(site=committed_yard.site, maker="Larkfield", serial="TC90000"),
                    actor=actor,
                )
            except Refusal as no:
                return no.code
            return "received"

        return work

    done = in_processes(receive(committed_yard.ada), receive(committed_yard.ben))
    assert sorted(done) == ["already-received", "received"]
    assert Unit.objects.filter(serial="TC90000").count() == 1
