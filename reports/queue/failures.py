"""Failures of documents as a request's row keeps them; `failure_words` says them to a reader."""

import errno
import json
from typing import Any, Final

from django.db import InterfaceError, OperationalError

from prep.actions.sealing import SealError
from prep.record.refusal import Refusal
from prep.record.stored_refusals import stored
from reports.document_kind import NotYetError

FULL: Final = frozenset({errno.ENOSPC, errno.EDQUOT})
CLOSED: Final = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})


def of_silence() -> str:
    """The failure of a worker that was not heard of again."""
    return _kept("stopped")


def of_exception(wrong: Exception) -> str:
    """The failure of a builder that raised an exception."""
    match wrong:
        case NotYetError():
            return _kept("waits-for-another")
        case SealError():
            return _kept("not-sealed", detail=str(wrong))
        case _ if code := _known(wrong):
            return _kept(code)
        case _:
            described = f"{type(wrong).__name__}: {wrong}".strip().rstrip(".:")
            return _kept("unexpected", detail=described)


def of_refusal(refusal: Refusal) -> str:
    """The failure of a builder that refused: what is missing does not come by trying again."""
    return json.dumps({"refusal": stored(refusal)})


def _known(wrong: Exception) -> str:
    """The code of an exception that says it all; empty for any other."""
    match wrong:
        case OSError(errno=code) if code in FULL:
            return "disk-full"
        case OSError(errno=code) if code in CLOSED:
            return "storage-closed"
        case MemoryError():
            return "out-of-memory"
        case OperationalError() | InterfaceError():
            return "database-lost"
    return ""


def _kept(code: str, **values: Any) -> str:
    return json.dumps({"code": code, "values": values})
