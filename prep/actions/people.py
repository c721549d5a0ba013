"""Actions on people: enroll, choose the language, change the PIN or the password."""

from django.db import transaction

from prep.actions.accounts.fingerprints import fingerprint
from prep.actions.accounts.pins import hashed
from prep.actions.locks import lock
from prep.actions.perform import perform
from prep.models import AttemptedPin, Person
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
    person.set_password(password)
    person.pin = hashed(pin)
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


def change_pin(*, actor: Person, password: str, pin: str) -> None:
    """Set the person's own PIN, confirmed by their password."""
    if not actor.check_password(password):
        raise Refusal("password-wrong", field="password")
    with transaction.atomic():
        row = lock(Person, actor.pk)
        assert row is not None  # whoever is signed in has an account
        row.pin = actor.pin = hashed(pin)
        row.save(update_fields=["pin"])
        _record(row)
        AttemptedPin.objects.filter(person=actor).delete()


def set_password(person: Person, password: str) -> None:
    """Set somebody's password, at the console: whoever runs commands there is trusted with it."""
    with transaction.atomic():
        row = lock(Person, person.pk)
        assert row is not None
        row.set_password(password)
        row.save(update_fields=["password"])
        _record(row)


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
