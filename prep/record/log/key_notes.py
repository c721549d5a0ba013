"""What a key of the log says when it is introduced: who it is, and which key it follows.

The key itself signs that, so the keys of a log stand in an order that nobody can change without
one of them: a key put before another is contradicted by that other's own note.
"""

from typing import Final

from prep.record.log.signed_notes import NoteError, VerifierKey

TITLE: Final = "Yardproof key"
NOTHING: Final = "-"


def introduction(key: VerifierKey, follows: str) -> str:
    """Text of a key's note. `follows` is the text of the key before it, empty for the first."""
    return f"{TITLE}\nlog {key.name}\nkey {key.text}\nfollows {follows or NOTHING}\n"


def followed(key: VerifierKey, text: str) -> str:
    """The key that a key's note says it follows, empty for none. Raises NoteError."""
    follows = text.removesuffix("\n").rpartition("\nfollows ")[2]
    before = "" if follows == NOTHING else follows
    if text != introduction(key, before) or before == key.text:
        raise NoteError("This is not what a key says when it is introduced.")
    return before
