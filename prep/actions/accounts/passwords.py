"""Passwords: what one may be, and their check at every door."""

from collections.abc import Callable
from typing import Final

from django.contrib.auth import authenticate
from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from prep.actions.accounts import attempts, places
from prep.actions.accounts.attempts import Purpose
from prep.actions.accounts.origin import Origin
from prep.models import Person
from prep.record.refusal import Refusal

LONGEST: Final = 120
# What the validators of the settings say, and our refusals of it.
_REFUSALS: Final[dict[str, Callable[[], Refusal]]] = {
    "password_too_short": lambda: Refusal("password-too-short", field="password"),
    "password_too_common": lambda: Refusal("password-common", field="password"),
    "password_too_similar": lambda: Refusal("password-like-name", field="password"),
}


def hashed(password: str, person: Person) -> str:
    """The hash of a password for somebody; Refusal of one that is easy to guess.

    Whoever stores a password takes its hash from here. The person need not be stored yet.
    """
    if len(password) > LONGEST:
        raise Refusal("password-too-long", field="password", most=LONGEST)
    try:
        validate_password(password, person)
    except ValidationError as wrong:
        raise _REFUSALS[str(wrong.error_list[0].code)]() from wrong
    return make_password(password)


def signed_in(username: str, password: str, origin: Origin) -> Person:
    """Whoever has this name and password, active; Refusal of anything else, always the same.

    A name that nobody has costs as much time and as many attempts, and is answered alike.
    """
    taken = attempts.take(places.budgets(Purpose.SIGN_IN, username, origin), field="username")
    person = authenticate(username=username, password=password[: LONGEST + 1])
    if not isinstance(person, Person):
        raise Refusal("sign-in-wrong", field="password")
    taken.give_back()
    places.remember(person, origin)
    return person


def confirm(person: Person, password: str, origin: Origin) -> None:
    """Confirm by password that this is the person signed in, before their secrets change."""
    budgets = places.budgets(Purpose.CHANGE, person.username, origin)
    taken = attempts.take(budgets, field="password")
    if not person.check_password(password):
        raise Refusal("password-wrong", field="password")
    taken.give_back()
