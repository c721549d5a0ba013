"""Event that keeps the words of a signature or an acknowledgment."""

import hashlib

from prep.record.log.reference_event import ReferenceEvent


class WordingKept(ReferenceEvent, frozen=True, tag="wording.kept"):
    """What people declared by giving a command, in one language.

    It is kept once, in the stream named by its digest, before the first event that refers to it.
    Events hold no sentence of ours otherwise, because sentences change; what a person signed does
    not.
    """

    command: str
    language: str
    text: str


def wording_digest(text: str) -> str:
    """SHA-256, in hex, of a wording's text in UTF-8."""
    return hashlib.sha256(text.encode()).hexdigest()
