"""Accounts are held against the log: names, secrets, marks, and nobody above the roles."""

from datetime import date, timedelta
from io import StringIO
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.contrib.auth.hashers import make_password
from django.core.management import call_command
from django.core.management.base import CommandError
from django.utils import timezone

from prep.actions import people
from prep.actions.accounts.fingerprints import fingerprint, fits
from prep.actions.perform import perform
from prep.models import Card, Event, Invitation, Membership, Person
from prep.record.person.commands.cards import RecordCard
from prep.record.person.commands.invitations import ResetPerson
from prep.record.refusal import Refusal
from prep.verify.run import verify
from tests.actions.kept import codes, kept, rows, texts, unguarded
from tests.actions.people.cast import invite, join
from tests.cast import PASSWORD, PIN, Yard

__all__ = ["kept"]


def test_what_the_service_did_itself_is_no_finding(kept: tuple[Yard, UUID]) -> None:
    """Enrolled, another PIN, another password, another language, signed in."""
    yard, _ = kept
    people.change_pin(actor=yard.ada, password=PASSWORD, pin="998877")
    people.choose_language(actor=yard.ada, language="es")
    people.set_password(yard.ada, "another invented long word")
    ada = Person.objects.get(pk=yard.ada.pk)
    assert ada.check_password("another invented long word")
    assert texts(verify()) == []


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (
            {"password": make_password("forged", hasher="argon2pin")},
            "The password of Ada Invented",
        ),
        ({"pin": make_password("0000", hasher="argon2pin")}, "The PIN of Ada Invented"),
        ({"pin": ""}, "The PIN of Ada Invented"),
        (
            {"printed_name": "Ben Invented"},
            "Ada Invented is called otherwise in the account",
        ),
        ({"username": "ada"}, "Ada Invented is called otherwise in the account (ada) now"),
        (
            {"is_active": False, "status": "suspended"},
            "Ada Invented (ada-north) was let in or shut out",
        ),
        ({"language": "fr"}, "Language, units or number style of Ada Invented"),
        ({"units": "metric"}, "Language, units or number style of Ada Invented"),
        ({"decimal_comma": True}, "Language, units or number style of Ada Invented"),
        ({"email": "eve@forged.example"}, "The e-mail or phone of Ada Invented"),
        (
            {"is_superuser": True},
            "Ada Invented (ada-north) is marked as a superuser or staff.",
        ),
        ({"is_staff": True}, "Ada Invented (ada-north) is marked as a superuser or staff."),
    ],
)
def test_what_was_changed_past_the_service_is_named(
    kept: tuple[Yard, UUID], columns: dict[str, Any], said: str
) -> None:
    """One column, one finding, with the person's name."""
    yard, _ = kept
    Person.objects.filter(pk=yard.ada.pk).update(**columns)
    [text] = texts(verify())
    assert text.startswith(said)


def test_hashes_of_two_people_exchanged_are_both_named(kept: tuple[Yard, UUID]) -> None:
    """Each is a hash that this service made, but not for this person."""
    yard, _ = kept
    ada, mira = Person.objects.get(pk=yard.ada.pk), Person.objects.get(pk=yard.mira.pk)
    Person.objects.filter(pk=ada.pk).update(pin=mira.pin, password=mira.password)
    Person.objects.filter(pk=mira.pk).update(pin=ada.pin, password=ada.password)
    assert codes(verify()) == ["account-password", "account-pin"] * 2


def test_an_older_hash_put_back_is_named(kept: tuple[Yard, UUID]) -> None:
    """It was right once; the log knows the newer one."""
    yard, _ = kept
    before = Person.objects.get(pk=yard.ada.pk).pin
    people.change_pin(actor=yard.ada, password=PASSWORD, pin="998877")
    Person.objects.filter(pk=yard.ada.pk).update(pin=before)
    assert codes(verify()) == ["account-pin"]


def test_an_account_added_or_taken_away_is_named(kept: tuple[Yard, UUID]) -> None:
    """With a role or without."""
    yard, _ = kept
    added = Person.objects.create(username="eve", printed_name="Eve Invented")
    assert texts(verify()) == ["The account of Eve Invented (eve) was added; no event mentions it."]
    Membership.objects.create(person=added, site_id="north", role="administrator")
    assert set(codes(verify())) == {"account-added", "row-added"}
    Membership.objects.filter(person=added).delete()
    added.delete()
    Person.objects.filter(pk=yard.outsider.pk).delete()
    assert texts(verify()) == [
        "The account of Una Invented (una-north) is missing; its events are there."
    ]


def test_a_fingerprint_gives_nothing_away_and_fits_only_its_hash(settings: Any) -> None:
    """Another person, field or hash has another; another secret key can say nothing of it."""
    made = fingerprint("7", "pin", "hash")
    assert "hash" not in made
    assert fits(made, "7", "pin", "hash") is True
    for other in (("8", "pin", "hash"), ("7", "password", "hash"), ("7", "pin", "other")):
        assert fits(made, *other) is False
    settings.SECRET_KEY, former = "another secret key (invented)", settings.SECRET_KEY
    assert fits(made, "7", "pin", "hash") is None
    settings.SECRET_KEY_FALLBACKS = [former]
    assert fits(made, "7", "pin", "hash") is True
    assert fits(made, "7", "pin", "other") is False


def test_under_another_secret_key_nobody_is_accused(kept: tuple[Yard, UUID], settings: Any) -> None:
    """It says that it cannot tell, and of how many."""
    settings.SECRET_KEY = "another secret key (invented)"
    report = verify()
    assert texts(report) == []
    [unproven] = [one for one in report.unproven if one.code == "accounts-other-secret"]
    assert unproven.values == {"count": Person.objects.count()}


def test_secrets_are_not_in_the_log(kept: tuple[Yard, UUID]) -> None:
    """Neither a hash nor what it was made of."""
    held = "".join(Event.objects.values_list("body", flat=True))
    for person in Person.objects.all():
        assert person.pin
        assert person.pin not in held
        assert person.password not in held
    assert PASSWORD not in held
    assert f'"{PIN}"' not in held


def test_a_refused_change_leaves_no_event(kept: tuple[Yard, UUID]) -> None:
    """A wrong password, a PIN that is none."""
    yard, _ = kept
    before = Event.objects.filter(stream="person").count()
    for password, pin in (("wrong", "998877"), (PASSWORD, "12")):
        with pytest.raises(Refusal):
            people.change_pin(actor=yard.ada, password=password, pin=pin)
    assert Event.objects.filter(stream="person").count() == before
    assert texts(verify()) == []


def test_an_event_of_an_account_altered_is_named(kept: tuple[Yard, UUID]) -> None:
    """The forger makes the log fit his hash; the tree does not fit the log."""
    yard, _ = kept
    event = Event.objects.filter(stream="person", stream_id=str(yard.ada.pk)).get()
    mira = Event.objects.filter(stream="person", stream_id=str(yard.mira.pk)).get()
    with unguarded():
        rows(Event).filter(pk=event.pk).update(body=mira.body)
        assert "event-altered" in codes(verify())


def test_the_console_sets_a_password_with_its_event(
    kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Typed twice, and not an easy one; a superuser is refused."""
    yard, _ = kept
    typed = iter(["a newly made long word", "a newly made long word"])
    monkeypatch.setattr(
        "prep.management.commands.changepassword.getpass", lambda prompt: next(typed)
    )
    call_command("changepassword", yard.ada.username, stdout=StringIO())
    assert Person.objects.get(pk=yard.ada.pk).check_password("a newly made long word")
    assert texts(verify()) == []
    for first, second, said in (("a", "b", "not the same"), ("a", "a", "at least 10 characters")):
        typed = iter([first, second])
        with pytest.raises(CommandError, match=said):
            call_command("changepassword", yard.ada.username)
    with pytest.raises(CommandError, match="no superusers"):
        call_command("createsuperuser")
    with pytest.raises(CommandError, match="nobody"):
        call_command("changepassword", "nobody")
    assert Person.objects.get(pk=yard.ada.pk).check_password("a newly made long word")


def test_an_invitation_or_a_card_changed_past_the_service_is_named(
    kept: tuple[Yard, UUID],
) -> None:
    """Another link, a later end, a used one opened again; another day on a card, another number."""
    yard, _ = kept
    jo, opener = invite(yard)
    join(opener.code)
    card = RecordCard(kind="tire", number="INV-0042", valid_until="2027-03-31")
    perform(card, actor=yard.otto, target=yard.ada.pk)
    perform(ResetPerson(), actor=yard.otto, target=yard.ada.pk)
    assert texts(verify()) == []
    ada, used = Invitation.objects.filter(person=yard.ada), Invitation.objects.filter(person=jo)
    changes: list[tuple[Any, dict[str, Any], str]] = [
        (ada, {"link": "0" * 64}, "link"),
        (ada, {"code": "0" * 64}, "link"),
        (ada, {"expires": ada.get().expires + timedelta(days=30)}, "expires"),
        (used, {"state": "open"}, "state"),
        (Card.objects.all(), {"valid_until": date(2037, 3, 31)}, "valid_until"),
        (Card.objects.all(), {"number": "INV-0043"}, "number"),
        (Card.objects.all(), {"withdrawn": True}, "withdrawn"),
    ]
    for row, change, column in changes:
        before = row.values(*change).get()
        row.update(**change)
        [text] = texts(verify())
        assert text.endswith(f"columns: {column}."), text
        row.update(**before)
    assert texts(verify()) == []
    Card.objects.all().delete()
    Invitation.objects.create(
        id=uuid4(), person=yard.ben, purpose="reset", expires=timezone.now(), link="1", code="1"
    )
    said = sorted(texts(verify()))
    assert [text.partition(":")[0] for text in said] == ["Added, no event mentions it", "Missing"]
