"""What issuing a document records."""

from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.state import Record


def issue(
    record: Record,
    context: Context,
    *,
    document: str,
    kind: str,
    number: str,
    digest: str,
    size: int,
    cause: str,
    replaces: str = "",
) -> list[e.Event]:
    """A finished file's digest goes into the log; once per kind and cause.

    `context` only says when and by which job: whoever may cause a document was asked at the cause.
    """
    for known, _ in record.documents:
        if known.document_kind == kind and known.cause == cause and not replaces:
            raise Refusal("already-issued", f"This {kind} was already issued as {known.number}.")
    return [e.DocumentIssued(document, kind, number, digest, size, cause, replaces)]
