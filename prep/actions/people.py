"""Actions on people: enroll, choose the language, change the PIN or the password."""

from django.db import transaction

from prep.actions.accounts import passwords, pins
from prep.actions.accounts.fingerprints import fingerprint
from prep.actions.accounts.origin import HERE, Origin
from prep.actions.accounts.sessions import sign_out_everywhere
from prep.actions.locks import lock
from prep.actions.perform import perform
from prep.models import Person
from prep.record.account.commands import RecordAccount
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.words.reader import LANGUAGES


def enroll(*, username: str, printed_name: str, password: str, pin: str) -> Person:
    """Add a person who can sign in and sign; roles are given at each site."""
    if not printed_name.strip():
        raise Refusal("name-missing", field="printed_name")
    if Person.objects.filter(username=username).exists():
        raise Refusal("name-taken", field="username", username=username)
    person = Person(username=username, printed_name=printed_name)
    person.password = passwords.hashed(password, person)
    person.pin = pins.hashed(pin, person.username)
    with transaction.atomic():
        person.save()
        _record(person)
    return person


def choose_language(*, actor: Person, language: str) -> None:
    """Set the language that pages are shown in to this person."""
    if language not in LANGUAGES:
        raise Refusal("no-such-language", field="language")
    actor.language = language
    actor.save(update_fields=["language"])


def change_pin(*, actor: Person, password: str, pin: str, origin: Origin = HERE) -> None:
    """Set the person's own PIN, confirmed by their password."""
    made = pins.hashed(pin, actor.username)
    passwords.confirm(actor, password, origin)
    with transaction.atomic():
        row = lock(Person, actor.pk)
        assert row is not None  # whoever is signed in has an account
        row.pin = actor.pin = made
        row.save(update_fields=["pin"])
        _record(row)


def change_password(*, actor: Person, password: str, new: str, origin: Origin = HERE) -> None:
    """Set the person's own password, confirmed by the one they have.

    Every sign-in of theirs ends, and no PIN switches to them before they give the new one.
    """
    passwords.confirm(actor, password, origin)
    set_password(actor, new)


def set_password(person: Person, password: str) -> None:
    """Set somebody's password; whoever calls this has made sure that they may.

    Every sign-in of theirs ends: what somebody else may have begun with the old one, too.
    """
    with transaction.atomic():
        row = lock(Person, person.pk)
        assert row is not None
        row.password = person.password = passwords.hashed(password, row)
        row.save(update_fields=["password"])
        _record(row)
        sign_out_everywhere(row)


def _record(person: Person) -> None:
    """Record in the log what an account is now; its row is the caller's, or was just made."""
    key = str(person.pk)
    recorded = RecordAccount(
        person=key,
        username=person.username,
        name=person.printed_name,
        active=person.is_active,
        password_fingerprint=fingerprint(key, "password", person.password),
        pin_fingerprint=fingerprint(key, "pin", person.pin),
    )
    perform(recorded, actor=Actor(key, str(person), frozenset()), target=key)
