"""Command that records an issued document."""

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
    """Record the digest of a finished file, once per kind and cause.

    No role is checked: permission was checked where the document was requested or caused.
    """
    for issued, _ in record.documents:
        if issued.document_kind == kind and issued.cause == cause and not replaces:
            raise Refusal("already-issued", f"This {kind} was already issued as {issued.number}.")
    return [e.DocumentIssued(document, kind, number, digest, size, cause, replaces)]
