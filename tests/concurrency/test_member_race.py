"""Administrators who remove each other at the same moment, and an invitation used by two, on
PostgreSQL. SQLite ignores row locks, so there such a test would prove nothing."""

from collections.abc import Callable
from contextlib import suppress
from threading import BrokenBarrierError
from typing import Any
from unittest.mock import patch

import pytest

from prep.actions.log import append
from prep.actions.perform import perform
from prep.models import Event, Membership, Person
from prep.record.command import Command
from prep.record.person.commands.access import LeavePerson, SuspendPerson
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, TakeRole
from tests.actions.people.cast import invite, join
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def two_administrators(transactional_db: None) -> Yard:
    """The cast, committed; Mira administers the yard as well."""
    yard = make_yard()
    giving = GiveRole(person=yard.mira.username, role=Role.ADMINISTRATOR)
    perform(giving, actor=yard.otto, target=yard.site)
    return yard


def removal(how: str, other: Person) -> Command:
    """A way to be rid of an administrator."""
    if how == "role":
        return TakeRole(person=other.username, role=Role.ADMINISTRATOR)
    if how == "leave":
        return LeavePerson(last_day="2026-11-30")
    return SuspendPerson(reason="Race (invented)")


def each_other(yard: Yard, hows: tuple[str, str], *, locked: bool) -> list[str]:
    """Otto and Mira remove each other at once; what each is told."""
    barrier = FORK.Barrier(2)

    def removing(how: str, actor: Person, other: Person) -> Callable[[], str]:
        def work() -> str:
            def meet(*args: Any, **more: Any) -> None:
                with suppress(BrokenBarrierError):
                    barrier.wait(2)
                append(*args, **more)

            target = yard.site if how == "role" else other.pk
            with patch("prep.actions.perform.append", meet):
                try:
                    if locked:
                        perform(removal(how, other), actor=actor, target=target)
                    else:
                        with patch("prep.actions.perform.lock_sets", lambda *_: None):
                            perform(removal(how, other), actor=actor, target=target)
                except Refusal as no:
                    return no.code
            return "done"

        return work

    return in_processes(
        removing(hows[0], yard.otto, yard.mira), removing(hows[1], yard.mira, yard.otto)
    )


def administrators(yard: Yard) -> int:
    """How many active administrators the yard has."""
    held = Membership.objects.filter(site=yard.site, role=Role.ADMINISTRATOR.value)
    return held.filter(person__is_active=True).count()


@pytest.mark.parametrize("hows", [("suspend", "suspend"), ("suspend", "role"), ("leave", "leave")])
def test_two_administrators_who_remove_each_other_leave_one(
    two_administrators: Yard, hows: tuple[str, str]
) -> None:
    """One is done; the other is refused, whether as the last one or because they are out."""
    told = each_other(two_administrators, hows, locked=True)
    assert told.count("done") == 1
    assert set(told) - {"done"} <= {"last-administrator", "not-allowed", "no-such-person-id"}
    assert administrators(two_administrators) == 1


def test_without_the_lock_of_the_set_they_would_leave_none(two_administrators: Yard) -> None:
    """Negative control: both decide by what they read before either wrote."""
    told = each_other(two_administrators, ("suspend", "suspend"), locked=False)
    assert told == ["done", "done"]
    assert administrators(two_administrators) == 0


def test_an_invitation_used_by_two_at_once_opens_for_one(two_administrators: Yard) -> None:
    """A link that was forwarded: one chooses the password, the other is told that it was used."""
    _, opener = invite(two_administrators)
    barrier = FORK.Barrier(2)

    def using(password: str, pin: str) -> Callable[[], str]:
        def work() -> str:
            with suppress(BrokenBarrierError):
                barrier.wait(5)
            try:
                join(opener.code, password, pin)
            except Refusal as no:
                return no.code
            return "done"

        return work

    told = in_processes(
        using("first three invented words", "8317"), using("other three invented words", "7412")
    )
    assert sorted(told) == ["done", "invitation-used"]
    assert Event.objects.filter(kind="person.invitation_used").count() == 1
