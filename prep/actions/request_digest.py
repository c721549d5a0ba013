"""Digest of a command as it was sent: the same id with another digest is refused.

The digest is part of the log and of every bundle. So that nobody can find a name in it by guessing,
personal fields enter it only as an HMAC under a key that stays with the service, and secrets do not
enter it at all.
"""

import hashlib
import re
from typing import Any, Final

import msgspec
from django.utils.crypto import salted_hmac

from prep.record.command import Command, privacy_of
from prep.record.fields import Privacy
from prep.record.log import canonical_json
from prep.record.refusal import Refusal

NUL: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")  # as JSON writes it, not a typed “\u0000”
SALT: Final = "prep.actions.request_digest"


def request_digest(
    command: Command, target: str, attachment: bytes | None, author: str = ""
) -> str:
    """SHA-256 of a command, its target, its attachment and its author by user name, in hex.

    Refusal where a text holds a NUL: PostgreSQL cannot store one, so no profile accepts it.
    """
    values = msgspec.to_builtins(command, str_keys=True)
    if NUL.search(canonical_json.encode(values)):
        raise Refusal("text-unfit")
    for name, privacy in privacy_of(type(command)).items():
        value = values.pop(name)
        if privacy is Privacy.PERSONAL and value is not None:
            values[name] = _keyed(f"{command.tag()} {name}", value)
    file = hashlib.sha256(attachment).hexdigest() if attachment is not None else ""
    return hashlib.sha256(canonical_json.encode([target, file, values, author])).hexdigest()


def _keyed(purpose: str, value: Any) -> str:
    """HMAC-SHA256 of a personal value under the service's key, in hex."""
    return salted_hmac(f"{SALT} {purpose}", str(value), algorithm="sha256").hexdigest()
