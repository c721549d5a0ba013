"""A buyer corrected and assigned by several at the same moment, on PostgreSQL.

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
from prep.actions.submission import Submission
from prep.models import Buyer, Event, FormerParticulars
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.verify.index import units
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes
from tests.record.unit.invariants import rebuilt_differs

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
TIMES = 15


@pytest.fixture
def committed_yard(transactional_db: None) -> Yard:
    """The cast, committed, so that other processes see it."""
    return make_yard()


def amending(yard: Yard, buyer: UUID, field: str) -> Callable[[], int]:
    """Work of one process: one of the particulars corrected again and again."""

    def work() -> int:
        for number in range(TIMES):
            told = {field: f"{field} {number}"}
            perform(AmendBuyer(**told), actor=yard.sol, target=buyer)
        return TIMES

    return work


def theirs(yard: Yard, buyer: Buyer, count: int) -> list[UUID]:
    """Units meant for the buyer."""
    meant = [yard.started() for _ in range(count)]
    for unit in meant:
        yard.assign(unit, buyer=buyer)
    return meant


def hold(meant: list[UUID]) -> None:
    """Every unit has the digest of the buyer as they are, its index is right, nothing is amiss."""
    digest = Buyer.objects.get().digest()
    for unit in meant:
        reference = record_of(unit).buyer
        assert reference is not None
        assert reference.digest == digest
        assert rebuilt_differs(unit) == []
    assert list(units(lambda *_: None)) == []


def test_two_corrections_at_once_lose_nothing(committed_yard: Yard) -> None:
    """One process corrects the address, one the telephone; both stand, on both units."""
    buyer = committed_yard.buyer()
    meant = theirs(committed_yard, buyer, 2)
    works = (amending(committed_yard, buyer.pk, field) for field in ("address", "phone"))
    assert in_processes(*works) == [TIMES, TIMES]
    now = Buyer.objects.get()
    assert (now.address, now.phone) == (f"address {TIMES - 1}", f"phone {TIMES - 1}")
    assert Event.objects.filter(kind="unit.buyer_amended").count() == 4 * TIMES
    hold(meant)


def test_a_unit_assigned_during_a_correction_has_the_digest_that_stands(
    committed_yard: Yard,
) -> None:
    """Ten units are meant for the buyer while somebody corrects them."""
    buyer = committed_yard.buyer()
    free = [committed_yard.started() for _ in range(10)]

    def assign() -> int:
        for unit in free:
            committed_yard.assign(unit, buyer=buyer)
        return len(free)

    done = in_processes(amending(committed_yard, buyer.pk, "address"), assign)
    assert done == [TIMES, 10]
    hold(free)


def test_one_correction_sent_twice_at_once_counts_once(committed_yard: Yard) -> None:
    """The tablet's two flushes meet."""
    buyer = committed_yard.buyer()
    meant = theirs(committed_yard, buyer, 2)
    same = Submission()

    def send() -> tuple[int, bool]:
        wish = AmendBuyer(phone="555 0100")
        outcome = perform(wish, actor=committed_yard.sol, submission=same, target=buyer.pk)
        return outcome.version, outcome.repeated

    assert sorted(in_processes(send, send)) == [(2, False), (2, True)]
    assert Buyer.objects.get().phone == "555 0100"
    assert FormerParticulars.objects.count() == 1
    assert Event.objects.filter(kind="unit.buyer_amended").count() == 2
    hold(meant)


def test_a_buyer_sent_twice_at_once_is_one_buyer(committed_yard: Yard) -> None:
    """The button pressed twice: both get the first outcome, and nobody an error of ours."""
    same, barrier = Submission(), FORK.Barrier(2)
    adding = AddBuyer(site=committed_yard.site, name="Fen Farm (invented)")

    def send() -> list[object]:
        def wait_then_append(*args: Any, **more: Any) -> None:
            with suppress(BrokenBarrierError):
                barrier.wait(5)
            append(*args, **more)

        with patch("prep.actions.perform.append", wait_then_append):
            outcome = perform(adding, actor=committed_yard.sol, submission=same)
        return [outcome.target, outcome.version]

    first, second = in_processes(send, send)
    assert first == second
    assert Buyer.objects.count() == 1
    assert Event.objects.filter(command=same.id).count() == 1
