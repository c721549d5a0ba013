"""Actions on people: enroll, choose the language, change the PIN, confirm it at a sign-off."""

from datetime import timedelta
from typing import Final

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils import timezone

from prep.models import AttemptedPin, Person
from prep.record.refusal import Refusal
from prep.words.reader import LANGUAGES

PIN_DIGITS: Final = range(4, 13)
WRONG_PINS: Final = 5
WAIT: Final = timedelta(minutes=5)


def enroll(*, username: str, printed_name: str, password: str, pin: str) -> Person:
    """Add a person who can sign in and sign; roles are given at each site."""
    if not printed_name.strip():
        raise Refusal("name-missing", field="printed_name")
    if Person.objects.filter(username=username).exists():
        raise Refusal("name-taken", field="username", username=username)
    person = Person(username=username, printed_name=printed_name)
    person.set_password(password)
    person.pin = _hashed(pin)
    person.save()
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
    actor.pin = _hashed(pin)
    actor.save(update_fields=["pin"])
    AttemptedPin.objects.filter(person=actor).delete()


def _hashed(pin: str) -> str:
    if not pin.isdecimal() or len(pin) not in PIN_DIGITS:
        raise Refusal("pin-unfit", field="pin")
    return make_password(pin, hasher="argon2pin")


def confirm(*, actor: Person, pin: str) -> None:
    """Confirm by PIN that the person signing is the person signed in, or raise Refusal.

    Wrong PINs are counted outside the command's transaction, so that a refused signature still
    counts as an attempt.
    """
    attempt = AttemptedPin.objects.filter(person=actor).first()
    now = timezone.now()
    if attempt and attempt.failures >= WRONG_PINS and now - attempt.last < WAIT:
        raise Refusal("pin-locked", field="pin", minutes=int(WAIT.total_seconds()) // 60)
    if actor.pin and check_password(pin, actor.pin):
        if attempt:
            attempt.delete()
        return
    _count_failure(actor)
    raise Refusal("pin-wrong", field="pin")


@transaction.atomic
def _count_failure(actor: Person) -> None:
    attempt, _ = AttemptedPin.objects.select_for_update().get_or_create(
        person=actor, defaults={"last": timezone.now()}
    )
    if attempt.failures >= WRONG_PINS:
        attempt.failures = 0
    attempt.failures += 1
    attempt.last = timezone.now()
    attempt.save(update_fields=["failures", "last"])
