"""Failures of documents as a request's row keeps them; `failure_words` says them to a reader."""

import json
from typing import Any

from prep.actions.outages.refusals import refusal_of
from prep.actions.sealing import SealError
from prep.record.refusal import Refusal
from prep.record.stored_refusals import stored
from reports.document_kind import NotYetError


def of_silence() -> str:
    """The failure of a worker that was not heard of again."""
    return _kept("stopped")


def of_exception(wrong: Exception) -> str:
    """The failure of a builder that raised an exception."""
    match wrong:
        case NotYetError():
            return _kept("waits-for-another")
        case SealError():
            return _kept(wrong.code, **wrong.values)
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
    if isinstance(wrong, MemoryError):
        return "out-of-memory"
    away = refusal_of(wrong)
    return away.code if away else ""


def _kept(code: str, **values: Any) -> str:
    return json.dumps({"code": code, "values": values})
