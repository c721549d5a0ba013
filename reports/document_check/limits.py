"""Limits of the checks, which need no sign-in: how often, how large, how many at once."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from threading import BoundedSemaphore
from typing import Any, Final

from prep.actions.accounts.origin import sender
from prep.actions.beside_the_log.request_counts import count
from prep.record.refusal import Refusal

LARGEST: Final = 100 * 1024 * 1024  # bytes of a file; larger ones are checked where they lie
DIGITS: Final = 15  # of any length a server would wait for
WINDOW: Final = 60  # seconds
NUMBERS: Final = 60  # of an address in a window: somebody who checks a folder of paper
FILES: Final = 10
AT_ONCE: Final = 2  # examinations of a file's contents in one process of the server

_examinations = BoundedSemaphore(AT_ONCE)


def count_number(meta: Mapping[str, Any]) -> None:
    """Count a question for a number; raises Refusal where its address asked too often."""
    _count("numbers", NUMBERS, meta)


def count_file(meta: Mapping[str, Any]) -> None:
    """Count a file; raises Refusal where its address sent too many, or where it is too large."""
    stated = str(meta.get("CONTENT_LENGTH") or 0)
    if not stated.isdecimal() or len(stated) > DIGITS or int(stated) > LARGEST:
        raise too_large()
    _count("files", FILES, meta)


def too_large() -> Refusal:
    """The refusal of a file that is too large."""
    return Refusal("file-too-large", field="file", most=LARGEST // 1024**2)


@contextmanager
def examination() -> Iterator[None]:
    """Room for one examination; raises Refusal while too many are being made."""
    if not _examinations.acquire(blocking=False):
        raise Refusal("too-many-checks", seconds=5)
    try:
        yield
    finally:
        _examinations.release()


def _count(scope: str, most: int, meta: Mapping[str, Any]) -> None:
    counted = count(f"check-{scope}", sender(meta), WINDOW)
    if counted.requests > most:
        raise Refusal("too-many-checks", seconds=counted.left)
