"""Accounts of programs: no person, no password, no PIN, and of one yard."""

from typing import Final

from django.contrib.auth.hashers import make_password

from prep.actions.accounts.fingerprints import fingerprint
from prep.models import Person
from prep.record.account.events import AccountRecorded
from prep.record.refusal import Refusal

MARK: Final = " (system)"  # part of its name, so that every surface tells it from a person


def new_system(site: str, username: str, name: str) -> tuple[Person, AccountRecorded]:
    """A program's new account, stored, and the event that records it; Refusal of a taken name."""
    if Person.objects.filter(username=username).exists():
        raise Refusal("name-taken", field="username", username=username)
    person = Person(username=username, printed_name=name.strip() + MARK, system_at_id=site)
    person.password = make_password(None)  # which no password fits
    person.save(force_insert=True)
    key = str(person.pk)
    recorded = AccountRecorded(
        person=key,
        username=person.username,
        name=person.printed_name,
        active=person.is_active,
        password_fingerprint=fingerprint(key, "password", person.password),
        pin_fingerprint=fingerprint(key, "pin", person.pin),
        system_at=site,
    )
    return person, recorded
