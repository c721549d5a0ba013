"""Invitations: a link and a code that open one account once, while they stand."""

from datetime import timedelta
from unittest.mock import patch
from uuid import uuid4

import pytest
from django.db.models import Model
from django.utils import timezone
from knox.models import AuthToken

from prep.actions import people
from prep.actions.accounts.origin import Origin
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Invitation, Membership, Person
from prep.queries.people import roles_at
from prep.record.person.commands.access import SuspendPerson
from prep.record.person.commands.invitations import (
    InvitePerson,
    RenewInvitation,
    ResetPerson,
    WithdrawInvitation,
)
from prep.record.roles import Role
from tests.actions.people.cast import (
    LONG,
    PIN,
    invite,
    join,
    opener_after,
    secret_of,
    south,
    state_of,
    works_in_the_south_too,
)
from tests.cast import PASSWORD, Yard
from tests.refusals import refused

pytestmark = pytest.mark.django_db


def test_an_invited_person_chooses_password_and_pin_and_can_work(yard: Yard) -> None:
    """Before that nobody signs in with the account, and its roles count for nothing."""
    jo, opener = invite(yard)
    assert (jo.is_active, jo.status, jo.password, jo.pin) == (False, "invited", "", "")
    assert roles_at(jo, yard.site) == []
    joined = join(secret_of(opener))
    assert (joined.pk, joined.status, joined.language) == (jo.pk, "active", "es")
    assert joined.check_password(LONG)
    assert roles_at(joined, yard.site) == [Role.TECHNICIAN]


def test_the_code_opens_what_the_link_opens_however_it_is_typed(yard: Yard) -> None:
    """In small letters, with spaces, without the dash."""
    jo, opener = invite(yard)
    assert join(f" {opener.code.lower().replace('-', ' ')} ").pk == jo.pk


@pytest.mark.parametrize("by", ["link", "code"])
def test_used_twice_it_opens_nothing_and_changes_nothing(yard: Yard, by: str) -> None:
    """Forwarded to somebody else, who comes second: they learn that it was used."""
    jo, opener = invite(yard)
    join(secret_of(opener))
    before = Person.objects.get(pk=jo.pk)
    typed = opener.code if by == "code" else secret_of(opener)
    refused("invitation-used", join, typed, "the words of somebody else", "7412")
    after = Person.objects.get(pk=jo.pk)
    assert (after.password, after.pin) == (before.password, before.pin)


def test_sent_twice_by_one_form_it_is_used_once_and_both_are_told_so(yard: Yard) -> None:
    """The button pressed twice: the first outcome again."""
    _, opener = invite(yard)
    same = Submission()
    first, again = (
        people.join(opener.code, password=LONG, pin=PIN, language="es", submission=same)
        for _ in range(2)
    )
    assert first == again
    assert Event.objects.filter(kind="person.invitation_used").count() == 1


def test_withdrawn_replaced_and_expired_each_say_so(yard: Yard) -> None:
    """Another sentence each, because what to do differs."""
    jo, first = invite(yard)
    second = opener_after(RenewInvitation(), actor=yard.otto, person=jo)
    refused("invitation-replaced", join, secret_of(first))
    refused("invitation-replaced", join, first.code)
    perform(WithdrawInvitation(), actor=yard.otto, target=jo.pk)
    refused("invitation-withdrawn", join, secret_of(second))
    refused("no-open-invitation", perform, WithdrawInvitation(), actor=yard.otto, target=jo.pk)
    third = opener_after(RenewInvitation(), actor=yard.otto, person=jo)
    later = timezone.now() + timedelta(days=7)
    with patch.object(timezone, "now", lambda: later):
        refused("invitation-expired", join, secret_of(third))
    with patch.object(timezone, "now", lambda: later - timedelta(minutes=1)):
        assert join(secret_of(third)).pk == jo.pk
    refused("already-joined", perform, RenewInvitation(), actor=yard.otto, target=jo.pk)


def test_what_was_never_made_is_unknown_and_a_slip_is_told_from_a_guess(yard: Yard) -> None:
    """A code has a check character; a link is looked up."""
    _, opener = invite(yard)
    refused("no-such-invitation", join, "x" * 43)
    refused("no-such-invitation", join, secret_of(opener)[:-1] + "_")
    wrong = ("3" if opener.code[0] != "3" else "4") + opener.code[1:]
    refused("code-mistyped", join, wrong)
    for none in ("", "ABC", "00000-00000", "é" * 10):
        refused("code-mistyped", join, none)


def test_guesses_at_codes_run_out(yard: Yard) -> None:
    """After twenty from one address the next one waits; a right link gives its attempt back."""
    _, opener = invite(yard)
    here = Submission(origin=Origin("192.0.2.7"))
    for _ in range(30):
        people.invited(secret_of(opener), here.origin)
    for _ in range(20):
        refused("no-such-invitation", people.invited, "22222-2222N", here.origin)
    waits = refused("too-many-attempts", people.invited, opener.code, here.origin)
    assert waits.details["seconds"] > 20
    assert people.invited(opener.code, Origin("192.0.2.8"))


def test_the_database_and_the_log_hold_neither_link_nor_code(yard: Yard) -> None:
    """Only digests; a row with digests of somebody's own opens nothing."""
    jo, opener = invite(yard)
    held = "".join(Event.objects.values_list("body", flat=True))
    row = Invitation.objects.get(person=jo)
    for kept in (held, row.link, row.code):
        assert secret_of(opener) not in kept
        assert opener.code not in kept
    other, forged = invite(yard, "eve")
    theirs: Model = Invitation.objects.get(person=other)
    Invitation.objects.filter(pk=theirs.pk).delete()
    Invitation.objects.filter(pk=row.pk).update(
        link=theirs.link,  # type: ignore[attr-defined]
        code=theirs.code,  # type: ignore[attr-defined]
    )
    refused("no-such-invitation", join, secret_of(forged))
    assert not Person.objects.get(pk=jo.pk).is_active


def test_the_same_command_shows_the_same_link_and_invites_one_person(yard: Yard) -> None:
    """The answer got lost; asked again, it is there again, for whoever asked first."""
    inviting = InvitePerson(username="jo", name="Jo Invented", roles=(Role.SALES, Role.SALES))
    same = Submission()
    perform(inviting, actor=yard.otto, target=yard.site, submission=same)
    first = people.opener_of(same.id)
    again = perform(inviting, actor=yard.otto, target=yard.site, submission=same)
    assert again.repeated
    assert people.opener_of(same.id) == first
    assert Person.objects.filter(username="jo").count() == 1
    assert Membership.objects.filter(person__username="jo").count() == 1


def test_only_an_administrator_invites_and_only_to_their_own_yard(yard: Yard) -> None:
    """Nobody is made on the way."""
    south(yard)
    inviting = InvitePerson(username="jo", name="Jo Invented", roles=(Role.TECHNICIAN,))
    for person in (yard.ada, yard.mira, yard.sol, yard.rhea):
        refused("not-allowed", perform, inviting, actor=person, target=yard.site)
    refused("no-such-site", perform, inviting, actor=yard.otto, target="south")
    refused("no-such-site", perform, inviting, actor=yard.outsider, target=yard.site)
    assert not Person.objects.filter(username="jo").exists()
    assert not Invitation.objects.exists()


@pytest.mark.parametrize("username", ["ada-north", "ADA-North"])
def test_a_user_name_is_given_once_whatever_its_letters(yard: Yard, username: str) -> None:
    """A tablet's keyboard makes the first letter large."""
    taken = InvitePerson(username=username, name="Ada Other", roles=(Role.SALES,))
    refused("name-taken", perform, taken, actor=yard.otto, target=yard.site)


@pytest.mark.parametrize("wrong", ["two words", "", "a\n", "a;b"])
def test_a_user_name_that_cannot_be_typed_is_refused(yard: Yard, wrong: str) -> None:
    """Before anything is made."""
    inviting = InvitePerson(username=wrong, name="Jo", roles=(Role.SALES,))
    refused("input-unfit", perform, inviting, actor=yard.otto, target=yard.site)


def test_an_easy_password_or_pin_leaves_the_invitation_open(yard: Yard) -> None:
    """And the next try opens the account."""
    _, opener = invite(yard)
    refused("password-too-short", join, opener.code, "short")
    refused("pin-easy", join, opener.code, LONG, "1234")
    assert join(opener.code).is_active


def test_whoever_is_suspended_before_they_join_has_no_open_link(yard: Yard) -> None:
    """The link ends with it; restored, they need another."""
    jo, opener = invite(yard)
    perform(SuspendPerson(reason="Changed our mind (invented)"), actor=yard.otto, target=jo.pk)
    refused("invitation-withdrawn", join, opener.code)
    refused("person-suspended", perform, RenewInvitation(), actor=yard.otto, target=jo.pk)


def test_a_reset_lets_somebody_choose_anew_and_ends_every_sign_in(yard: Yard) -> None:
    """The former password works until then; no administrator ever knows the new one."""
    AuthToken.objects.create(user=yard.ada)
    opener = opener_after(ResetPerson(), actor=yard.otto, person=yard.ada)
    assert Person.objects.get(pk=yard.ada.pk).check_password(PASSWORD)
    assert AuthToken.objects.filter(user=yard.ada).exists()
    ada = join(opener.code)
    assert ada.check_password(LONG)
    assert not ada.check_password(PASSWORD)
    assert not AuthToken.objects.filter(user=yard.ada).exists()
    assert [one.state.value for one in state_of(ada).invitations.values()] == ["used"]
    refused("not-joined", perform, ResetPerson(), actor=yard.otto, target=invite(yard)[0].pk)


def test_a_reset_takes_the_administrator_of_every_yard(yard: Yard) -> None:
    """Otherwise one yard's could sign in as another yard's people."""
    south(yard)
    works_in_the_south_too(yard, yard.ada)
    no = refused(
        "not-allowed-everywhere", perform, ResetPerson(), actor=yard.otto, target=yard.ada.pk
    )
    assert no.details["sites"] == ("South yard",)
    refused(
        "not-allowed-everywhere", perform, ResetPerson(), actor=yard.outsider, target=yard.ada.pk
    )
    refused("no-such-person-id", perform, ResetPerson(), actor=yard.outsider, target=yard.ben.pk)
    assert not Invitation.objects.exists()


def test_an_id_of_nobody_is_nobodys(yard: Yard) -> None:
    """A made-up id answers as somebody of another yard does."""
    for target in ("0", "999999", "x", "9" * 40, "-1", str(uuid4())):
        refused("no-such-person-id", perform, ResetPerson(), actor=yard.otto, target=target)
