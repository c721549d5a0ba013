"""A token as text: a prefix by which a scanner finds one that leaked, 200 random bits, a check.

The check tells a mistyped or cut token from one that is unknown without looking for it.
"""

import hashlib
import secrets
from base64 import b32encode
from typing import Final

PREFIX: Final = "yardproof_"
RANDOM: Final = 25  # bytes, which are 40 characters of base 32 (RFC 4648, section 6)
CHECK: Final = 6
LENGTH: Final = len(PREFIX) + RANDOM * 8 // 5 + CHECK
HINT: Final = len(PREFIX) + 4  # of its characters are shown in lists


def new_text() -> str:
    """A new token."""
    body = PREFIX + b32encode(secrets.token_bytes(RANDOM)).decode().lower()
    return body + _check(body)


def well_formed(text: str) -> bool:
    """Whether a text can be a token at all."""
    return (
        len(text) == LENGTH
        and text.isascii()
        and text.startswith(PREFIX)
        and secrets.compare_digest(_check(text[:-CHECK]), text[-CHECK:])
    )


def digest(text: str) -> str:
    """What is kept of a token. It has 200 random bits: nobody finds it from its SHA-256."""
    return hashlib.sha256(text.encode()).hexdigest()


def hint(text: str) -> str:
    """The beginning of a token, by which its bearer knows it in a list."""
    return text[:HINT]


def _check(body: str) -> str:
    return b32encode(hashlib.sha256(body.encode()).digest()).decode().lower()[:CHECK]
