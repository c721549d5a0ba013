"""Places where people gave their passwords: a device of the yard, or an address.

There they have attempts of their own (`prep.actions.accounts.attempts`), and on a device they may
switch user by PIN.
"""

import unicodedata
from collections.abc import Sequence
from datetime import timedelta
from typing import Final
from uuid import UUID

from django.utils import timezone
from django.utils.crypto import salted_hmac

from prep.actions.accounts import attempts
from prep.actions.accounts.attempts import Budget, Purpose
from prep.actions.accounts.fingerprints import fingerprint, fits
from prep.actions.accounts.origin import Origin
from prep.models import PasswordGiven, Person

REMEMBERED: Final = timedelta(days=30)  # after which the password is to be given again


def remember(person: Person, origin: Origin) -> None:
    """Remember that somebody gave their password just now, and where."""
    for place in _places(origin):
        PasswordGiven.objects.update_or_create(
            person=person,
            place=place,
            defaults={
                "at": timezone.now(),
                "password": fingerprint(str(person.pk), "password", person.password),
            },
        )


def people_on(device: UUID) -> list[Person]:
    """Who may switch to themselves by PIN on a device, sorted by name.

    They gave the password they still have on it within the last 30 days, and their account is
    active and has a PIN.
    """
    people = [one.person for one in _given([str(device)])]
    return sorted((one for one in people if one.is_active and one.pin), key=str)


def budgets(purpose: Purpose, name: str, origin: Origin) -> Sequence[Budget]:
    """The attempts that one more at somebody's secret is taken from."""
    key = unicodedata.normalize("NFKC", name).casefold()
    known = {one.place for one in _given(_places(origin), person__username=name)}
    for place in _places(origin):
        if place in known:
            return [attempts.budget(purpose, "person-at", f"{place}/{key}", attempts.OF_PERSON)]
    return [attempts.budget(purpose, "person", key, attempts.OF_PERSON), *shared(purpose, origin)]


def shared(purpose: Purpose, origin: Origin) -> Sequence[Budget]:
    """The attempts of everybody together, at the address and on the device."""
    return [
        attempts.budget(purpose, "everybody-at", place, attempts.OF_PLACE)
        for place in _places(origin)
    ]


def clear_past() -> None:
    """Delete what is no longer remembered."""
    PasswordGiven.objects.filter(at__lte=timezone.now() - REMEMBERED).delete()


def _given(places: Sequence[str], **whose: str) -> list[PasswordGiven]:
    """Where the password that somebody still has was given lately, of these places."""
    since = timezone.now() - REMEMBERED
    given = PasswordGiven.objects.filter(place__in=places, at__gt=since, **whose)
    return [one for one in given.select_related("person") if _still(one)]


def _still(given: PasswordGiven) -> bool:
    """Whether the password that was given is the one the person still has."""
    person = given.person
    return fits(given.password, str(person.pk), "password", person.password) is True


def _places(origin: Origin) -> Sequence[str]:
    """A place's names, the device first; an address is kept as a keyed digest."""
    places = [str(origin.device)] if origin.device else []
    if origin.address:
        digest = salted_hmac("yardproof-address", origin.address, algorithm="sha256")
        places.append(digest.hexdigest())
    return places
