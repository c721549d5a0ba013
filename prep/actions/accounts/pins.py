"""PINs: what one may be, and their check at a signature and at switching user."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from django.contrib.auth.hashers import check_password, make_password

from prep.actions.accounts import attempts, places
from prep.actions.accounts.attempts import Budget, Purpose
from prep.actions.accounts.origin import Origin
from prep.models import Person
from prep.record.refusal import Refusal

PIN_DIGITS: Final = range(4, 13)
YEARS: Final = ("19", "20")
RUNS: Final = ({1}, {9})  # from each digit to the next, modulo ten: upward and downward


def check(pin: str, username: str) -> None:
    """Refuse what is not digits, too short or long, or easy to guess."""
    if not (pin.isascii() and pin.isdigit()) or len(pin) not in PIN_DIGITS:
        raise Refusal("pin-unfit", field="pin")
    if _is_easy(pin) or pin == username:
        raise Refusal("pin-easy", field="pin")


def hashed(pin: str, username: str) -> str:
    """The hash of a PIN; Refusal of one that does not do. Whoever stores one takes it from here."""
    check(pin, username)
    return make_password(pin, hasher="argon2pin")


def confirm(*, actor: Person, pin: str, origin: Origin) -> None:
    """Confirm by PIN that the person signing is the person signed in, or raise Refusal.

    The attempt is taken outside the command's transaction, so that a refused signature still
    counts.
    """
    if not _is_theirs(actor, pin, places.budgets(Purpose.PIN, actor.username, origin)):
        raise Refusal("pin-wrong", field="pin")


def switched_to(username: str, pin: str, origin: Origin) -> Person:
    """Whoever of the people on this device has this name and PIN; Refusal of anything else.

    Beside the person's own attempts those of the device count, for everybody on it together.
    """
    budgets = [
        *places.budgets(Purpose.PIN, username, origin),
        *places.shared(Purpose.PIN, Origin(device=origin.device)),
    ]
    here = places.people_on(origin.device) if origin.device else []
    person = next((one for one in here if one.username == username), None)
    if person is None:
        raise Refusal("not-on-this-device", field="username")
    if not _is_theirs(person, pin, budgets):
        raise Refusal("switch-wrong", field="pin")
    return person


def _is_theirs(person: Person, pin: str, budgets: Sequence[Budget]) -> bool:
    """Whether it is somebody's PIN; an attempt is taken first, and given back where it is."""
    taken = attempts.take(budgets, field="pin")
    if not (person.pin and check_password(pin, person.pin)):
        return False
    taken.give_back()
    return True


def _is_easy(pin: str) -> bool:
    """One digit all along, a straight run, or a year."""
    steps = {(int(later) - int(digit)) % 10 for digit, later in pairwise(pin)}
    return steps == {0} or steps in RUNS or (len(pin) == 4 and pin.startswith(YEARS))
