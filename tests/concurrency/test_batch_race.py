"""Two batches on one unit at the same moment, on PostgreSQL."""

from typing import Any
from unittest.mock import patch
from uuid import UUID

import pytest

from prep.actions.batches.batch import Device, Sent
from prep.actions.batches.carry_out import carry_out
from prep.actions.streams.all_streams import UNITS
from prep.models import Event, Person, RefusedCommand
from prep.queries.records import record_of
from tests.actions.test_batch_properties import of_two_tablets, outcome
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes
from tests.concurrency.test_unit_race import meeting
from tests.record.unit.invariants import rebuilt_differs

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def committed_yard(transactional_db: None) -> Yard:
    """The cast, committed, so that other processes see it."""
    return make_yard()


@pytest.fixture
def unit(committed_yard: Yard) -> UUID:
    """A sold unit whose sheet is started."""
    started = committed_yard.started()
    committed_yard.assign(started)
    return started


def sending(person: Person, batch: list[Sent]) -> Any:
    """Work of one process: the status of each command."""

    def work() -> Any:
        results = carry_out(batch, person=person, device=Device("Tablet 2", 0))
        return [(str(one.status), getattr(one.wrong, "code", "")) for one in results]

    return work


def test_two_batches_at_once_lose_and_double_nothing(committed_yard: Yard, unit: UUID) -> None:
    """Each command waits for the unit; the record is that of one batch after the other."""
    yard = committed_yard
    adas, bens = of_two_tablets(unit, yard.ben.username)
    first, second = in_processes(sending(yard.ada, adas), sending(yard.ben, bens))
    assert first == [("done", "")] * 5
    assert second == [("refused", "unreadable"), ("held", ""), *[("done", "")] * 4]
    entries, flags, parts = outcome(unit)
    assert (len(entries), len(flags), len(parts)) == (4, 3, 2)
    versions = Event.objects.filter(stream="unit", stream_id=str(unit)).order_by("version")
    numbers = list(versions.values_list("version", flat=True))
    assert numbers == list(range(1, len(numbers) + 1))
    assert rebuilt_differs(unit) == []


def test_one_batch_sent_twice_at_once_counts_once(committed_yard: Yard, unit: UUID) -> None:
    """The tablet thought that the first sending was lost; what was refused is kept once."""
    yard = committed_yard
    _, bens = of_two_tablets(unit, yard.ben.username)
    before = record_of(unit).version
    done = in_processes(*[sending(yard.ben, bens)] * 2)
    for mine, other in zip(*done, strict=True):
        assert {mine[0], other[0]} in ({"done", "repeated"}, {"refused"}, {"held"})
    assert RefusedCommand.objects.count() == 1
    once = Event.objects.filter(stream="unit", version__gt=before).values_list("command")
    assert once.distinct().count() == 4
    assert rebuilt_differs(unit) == []


def test_without_the_lock_two_batches_collide(committed_yard: Yard, unit: UUID) -> None:
    """Negative control: then a command of one is refused, and only kept as not taken."""
    yard = committed_yard
    adas, bens = of_two_tablets(unit, yard.ben.username)
    barrier = FORK.Barrier(2)

    def unlocked(person: Person, batch: list[Sent]) -> Any:
        def work() -> Any:
            with patch.object(UNITS, "lock"):  # in this process only
                return sending(person, batch)()

        return meeting(barrier, work)

    done = in_processes(unlocked(yard.ada, adas[:1]), unlocked(yard.ben, bens[2:3]))
    assert sorted(status for ((status, _),) in done) == ["done", "refused"]
    assert sorted(code for ((_, code),) in done) == ["", "changed-meanwhile"]
    assert RefusedCommand.objects.count() == 1
