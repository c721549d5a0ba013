"""Keyed fingerprints of the hashes of passwords and PINs, for the log.

The log is shown to others, and the hash of a PIN gives the PIN away. A fingerprint is made with a
key that follows from the service's secret key, which is not in the database: nobody who has only
the database can make the one that belongs to a hash of their own.
"""

from collections.abc import Iterator
from typing import Final

from django.conf import settings
from django.utils.crypto import constant_time_compare, salted_hmac

SALT: Final = "yardproof account"
KEY_ID: Final = 8  # characters that tell which secret key a fingerprint was made with


def fingerprint(person: str, field: str, held: str) -> str:
    """The fingerprint of what a person's account holds in a field, with the id of its key."""
    return _made(person, field, held, settings.SECRET_KEY)


def fits(known: str, person: str, field: str, held: str) -> bool | None:
    """Whether a fingerprint is of what is held; None where its key is not known here."""
    for secret in _secrets():
        if known.partition(":")[0] == _key_id(secret):
            return constant_time_compare(known, _made(person, field, held, secret))
    return None


def _secrets() -> Iterator[str]:
    """The secret key, and those that were used before it."""
    yield settings.SECRET_KEY
    yield from map(str, settings.SECRET_KEY_FALLBACKS)


def _made(person: str, field: str, held: str, secret: str) -> str:
    about = f"{person} {field} {held}"
    made = salted_hmac(SALT, about, secret=secret, algorithm="sha256").hexdigest()
    return f"{_key_id(secret)}:{made}"


def _key_id(secret: str) -> str:
    return salted_hmac(f"{SALT} key", "", secret=secret, algorithm="sha256").hexdigest()[:KEY_ID]
