"""Salted digests of personal data, which the log holds in their place."""

import hashlib

from prep.record.log import canonical_json


def salted_digest(salt: str, values: list[str]) -> str:
    """SHA-256 of a salt and values, in hex. Without the salt a guessed name cannot be confirmed."""
    return hashlib.sha256(canonical_json.encode([salt, *values])).hexdigest()
