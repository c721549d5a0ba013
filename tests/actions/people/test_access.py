"""Suspending, restoring, leaving, roles: and a yard always keeps an active administrator."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone
from knox.models import AuthToken

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Membership, Person
from prep.queries.accounts import self_given
from prep.queries.people import roles_at, roles_on_record
from prep.queries.records import record_of
from prep.record.person.commands.access import (
    LeavePerson,
    RestorePerson,
    SignOutEverywhere,
    SuspendPerson,
)
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, TakeRole
from prep.record.unit.sheet import Status, statuses
from prep.verify.run import verify
from tests.actions.kept import texts
from tests.actions.people.cast import invite, south, state_of, works_in_the_south_too
from tests.cast import PASSWORD, Yard
from tests.pages.visitor import signed_in
from tests.refusals import refused
from tests.stored_files import own_folders

pytestmark = pytest.mark.django_db
SUSPEND = SuspendPerson(reason="Tablet lost (invented)")
RESTORE = RestorePerson(reason="Tablet found (invented)")
LEAVE = LeavePerson(last_day="2026-11-30")


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def second_administrator(yard: Yard) -> Person:
    """Mira administers the yard as well."""
    perform(
        GiveRole(person=yard.mira.username, role=Role.ADMINISTRATOR),
        actor=yard.otto,
        target=yard.site,
    )
    return yard.mira


def test_a_suspended_persons_session_token_password_and_pin_are_dead_at_once(yard: Yard) -> None:
    """Restored, they sign in with what they had."""
    client = signed_in(yard.ada)
    AuthToken.objects.create(user=yard.ada)
    unit = yard.started()
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked")
    perform(SUSPEND, actor=yard.otto, target=yard.ada.pk)
    assert client.get("/").status_code == 302
    assert not AuthToken.objects.filter(user=yard.ada).exists()
    assert not client.login(username=yard.ada.username, password=PASSWORD)
    ada = Person.objects.get(pk=yard.ada.pk)
    refused("no-such-unit", yard.sign, unit, "block", ada)
    perform(RESTORE, actor=yard.otto, target=yard.ada.pk)
    yard.sign(unit, "block", Person.objects.get(pk=yard.ada.pk))
    assert client.login(username=yard.ada.username, password=PASSWORD)
    assert texts(verify()) == []


def test_suspended_or_not_what_they_signed_stays_signed(yard: Yard) -> None:
    """The record names them as before."""
    unit = yard.started()
    yard.block_deck(unit)
    perform(SUSPEND, actor=yard.otto, target=yard.ada.pk)
    assert statuses(record_of(unit))["block"] == Status.DONE
    assert Event.objects.filter(kind="step.signed", actor=str(yard.ada.pk)).count() == 1


def test_whoever_leaves_has_no_role_anywhere_and_the_yards_say_so(yard: Yard) -> None:
    """An event of each yard, in the name of whoever recorded it; back again, without roles."""
    south(yard)
    works_in_the_south_too(yard, yard.ada)
    refused("not-allowed-everywhere", perform, LEAVE, actor=yard.otto, target=yard.ada.pk)
    works_in_the_south_too(yard, yard.otto, Role.ADMINISTRATOR)
    perform(LEAVE, actor=yard.otto, target=yard.ada.pk)
    assert not Membership.objects.filter(person=yard.ada).exists()
    taken = Event.objects.filter(kind="site.member_removed", actor=str(yard.otto.pk))
    assert sorted(taken.values_list("stream_id", flat=True)) == ["north", "south"]
    assert (state_of(yard.ada).status, state_of(yard.ada).last_day) == ("left", "2026-11-30")
    assert roles_on_record("north", str(yard.ada.pk), timezone.now()) == frozenset()
    refused("no-such-person-id", perform, RESTORE, actor=yard.otto, target=yard.ada.pk)
    back = GiveRole(person=yard.ada.username, role=Role.SALES)
    perform(back, actor=yard.otto, target=yard.site)
    assert roles_at(yard.ada, yard.site) == []
    perform(RESTORE, actor=yard.otto, target=yard.ada.pk)
    assert roles_at(yard.ada, yard.site) == [Role.SALES]
    assert texts(verify()) == []


def test_a_last_day_is_a_day(yard: Yard) -> None:
    """The calendar knows it."""
    for day, code in (("2026-02-30", "day-unclear"), ("soon", "input-unfit")):
        refused(code, perform, LeavePerson(last_day=day), actor=yard.otto, target=yard.ada.pk)


@pytest.mark.parametrize("how", ["role", "suspend", "leave"])
def test_a_yard_keeps_an_active_administrator(yard: Yard, how: str) -> None:
    """Whoever is the last one must make another first; the yard is named."""

    def go() -> None:
        if how == "role":
            taking = TakeRole(person=yard.otto.username, role=Role.ADMINISTRATOR)
            perform(taking, actor=yard.otto, target=yard.site)
        else:
            command = SUSPEND if how == "suspend" else LEAVE
            perform(command, actor=yard.otto, target=yard.otto.pk)

    no = refused("last-administrator", go)
    assert no.details["yards"] == ("North yard",)
    invited = invite(yard, "jo", roles=(Role.ADMINISTRATOR,))[0]
    refused("last-administrator", go)  # one who has not joined is none
    second_administrator(yard)
    perform(SUSPEND, actor=yard.otto, target=yard.mira.pk)
    refused("last-administrator", go)  # nor is one who is suspended
    perform(RESTORE, actor=yard.otto, target=yard.mira.pk)
    go()
    assert invited.status == "invited"


def test_an_administrator_of_one_of_two_yards_suspends_and_the_other_restores(yard: Yard) -> None:
    """Shutting must not wait; each is recorded in the name of whoever did it."""
    south(yard)
    works_in_the_south_too(yard, yard.ada)
    perform(SUSPEND, actor=yard.outsider, target=yard.ada.pk)
    perform(RESTORE, actor=yard.otto, target=yard.ada.pk)
    events = Event.objects.filter(stream="person", stream_id=str(yard.ada.pk)).order_by("version")
    assert list(events.values_list("kind", "actor_name", "site"))[-2:] == [
        ("person.suspended", "Una Invented", "south"),
        ("person.restored", "Otto Invented", "north"),
    ]


def test_nobody_acts_on_people_of_another_yard(yard: Yard) -> None:
    """They are not even told that there is such a person; roles there are out of reach."""
    south(yard)
    for command in (SUSPEND, LEAVE, SignOutEverywhere()):
        refused("no-such-person-id", perform, command, actor=yard.outsider, target=yard.ada.pk)
    giving = GiveRole(person=yard.outsider.username, role=Role.SERVICE_MANAGER)
    refused("no-such-site", perform, giving, actor=yard.outsider, target=yard.site)
    assert state_of(yard.ada).status == "active"


def test_a_role_is_never_given_with_an_earlier_date(yard: Yard) -> None:
    """A tablet that says so is refused; within its clock's slack it counts as now."""
    giving = GiveRole(person=yard.sol.username, role=Role.TECHNICIAN)
    for command, target in ((giving, yard.site), (SUSPEND, yard.ada.pk)):
        earlier = Submission(happened=timezone.now() - timedelta(days=3))
        refused(
            "takes-effect-at-once",
            perform,
            command,
            actor=yard.otto,
            target=target,
            submission=earlier,
        )
    assert not Membership.objects.filter(person=yard.sol, role="technician").exists()
    now = Submission(happened=timezone.now() - timedelta(seconds=30))
    perform(giving, actor=yard.otto, target=yard.site, submission=now)


def test_a_role_held_is_not_given_again_nor_one_taken_that_is_not_held(yard: Yard) -> None:
    """The record has no event for nothing."""
    again = GiveRole(person=yard.ada.username, role=Role.TECHNICIAN)
    refused("role-held", perform, again, actor=yard.otto, target=yard.site)
    none = TakeRole(person=yard.ada.username, role=Role.SALES)
    refused("role-not-held", perform, none, actor=yard.otto, target=yard.site)


def test_an_administrator_may_make_himself_manager_and_the_record_shows_it(yard: Yard) -> None:
    """Allowed, because small yards have one person for both; whoever audits sees who gave it."""
    unit = yard.prepared()
    refused("not-allowed", yard.release, unit, yard.otto)
    own = GiveRole(person=yard.otto.username, role=Role.SERVICE_MANAGER)
    perform(own, actor=yard.otto, target=yard.site)
    yard.release(unit, yard.otto)
    [given] = [one for one in self_given([yard.site]) if one.event.role == "service manager"]  # type: ignore[attr-defined]
    assert (given.by, given.event.person) == ("Otto Invented", str(yard.otto.pk))  # type: ignore[attr-defined]


def test_signed_out_everywhere_by_themselves_or_an_administrator(yard: Yard) -> None:
    """A colleague cannot; sessions and tokens end."""
    for actor in (yard.ada, yard.otto):
        client = signed_in(Person.objects.get(pk=yard.ada.pk))
        AuthToken.objects.create(user=yard.ada)
        refused("not-allowed", perform, SignOutEverywhere(), actor=yard.ben, target=yard.ada.pk)
        assert client.get("/").status_code == 200
        perform(SignOutEverywhere(), actor=actor, target=yard.ada.pk)
        assert client.get("/").status_code == 302
        assert not AuthToken.objects.filter(user=yard.ada).exists()
