"""Failure texts: why a document could not be made, and what to do about it."""

import errno
from typing import Final

from django.db import InterfaceError, OperationalError

from prep.actions.sealing import SealError
from reports.document_kind import NotYetError

FULL: Final = frozenset({errno.ENOSPC, errno.EDQUOT})
CLOSED: Final = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})
SILENT: Final = (
    "The worker making it stopped without a word: it was killed, ran out of memory, or lost its "
    "power."
)


def in_words(wrong: Exception) -> str:
    """An exception of a builder as one or two sentences for people."""
    match wrong:
        case SealError() | NotYetError():
            return str(wrong)
        case OSError(errno=code) if code in FULL:
            return "The disk for the files is full. Make room on it."
        case OSError(errno=code) if code in CLOSED:
            return "The service may not write its files. Let it write into their folder."
        case MemoryError():
            return "The worker ran out of memory. Give it more, or ask for less at once."
        case OperationalError() | InterfaceError():
            return "The database could not be reached while it was made."
        case _:
            described = f"{type(wrong).__name__}: {wrong}".strip().rstrip(".:")
            return f"Nobody foresaw this ({described}). The worker's log tells where."
