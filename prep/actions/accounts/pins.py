"""PINs: what one may be, and its check at a sign-off, where wrong ones are counted."""

from datetime import timedelta
from typing import Final

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils import timezone

from prep.models import AttemptedPin, Person
from prep.record.refusal import Refusal

PIN_DIGITS: Final = range(4, 13)
WRONG_PINS: Final = 5
WAIT: Final = timedelta(minutes=5)


def hashed(pin: str) -> str:
    """The hash of a PIN; Refusal of one that is not digits, or too short or long."""
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
