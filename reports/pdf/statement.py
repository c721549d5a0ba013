"""The place in a file for what is signed over the whole of it.

A signature over a file cannot be within what it signs. So the file is made with an empty place of
fixed length, hashed with zero bytes in that place, and the signed statement of that hash is then
written into it. A reader finds the place by its marks, which stand in the file exactly once, and
hashes the same bytes again: pages, attachments, whatever was put after the end.
"""

import hashlib
from typing import Final

OPENING: Final = b"<yardproof-statement>\n"  # no metadata or string of a PDF holds a bare “<”
CLOSING: Final = b"</yardproof-statement>\n"
ROOM: Final = 1024  # bytes between the marks: a name of a log is written twice within them
PADDING: Final = b"\n"
EMPTY: Final = OPENING + PADDING * ROOM + CLOSING


class StatementError(RuntimeError):
    """A file has no place for a statement, or the statement is too long; the text says which."""


def digest_of(pdf: bytes) -> str:
    """SHA-256 in hex of a file, the bytes of its statement being zero bytes."""
    start, stop = _place(pdf)
    digest = hashlib.sha256(pdf[:start])
    digest.update(bytes(ROOM))
    digest.update(pdf[stop:])
    return digest.hexdigest()


def stated(pdf: bytes, note: str) -> bytes:
    """The file with a signed note as its statement, filled up to the fixed length."""
    held = note.encode()
    if len(held) > ROOM:
        raise StatementError(
            f"The statement has {len(held)} bytes, and there is room for {ROOM}: the name of the "
            "log is too long. Set YARDPROOF_LOG_NAME to a shorter one."
        )
    start, stop = _place(pdf)
    return pdf[:start] + held.ljust(ROOM, PADDING) + pdf[stop:]


def _place(pdf: bytes) -> tuple[int, int]:
    start = pdf.find(OPENING) + len(OPENING)
    stop = start + ROOM
    once = pdf.count(OPENING) == pdf.count(CLOSING) == 1
    if not once or not pdf.startswith(CLOSING, stop):
        raise StatementError("The file does not have exactly one place for its statement.")
    return start, stop
