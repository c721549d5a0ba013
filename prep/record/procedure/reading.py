"""Reading a procedure's document."""

import hashlib
from typing import Any

from prep.record.documents.problems import unfit
from prep.record.documents.typed import Document, read_document
from prep.record.log import canonical_json
from prep.record.procedure.checks.check import check
from prep.record.procedure.checks.known import Known
from prep.record.procedure.document import Procedure


def load_procedure(text: str) -> tuple[Procedure, dict[str, Any], str]:
    """A procedure, its plain values and its digest; Refusal with every fault of its fields."""
    return _sound(read_document(text, Procedure))


def checked_procedure(text: str, known: Known) -> tuple[Procedure, dict[str, Any], str]:
    """The same of a procedure that may come into force; Refusal with everything that is wrong."""
    document = read_document(text, Procedure)
    if problems := check(document, known):
        raise unfit(problems)
    return _sound(document)


def _sound(document: Document[Procedure]) -> tuple[Procedure, dict[str, Any], str]:
    if document.problems or document.struct is None:
        raise unfit(document.problems)
    return document.struct, document.values, digest_of(document.values)


def digest_of(values: Any) -> str:
    """SHA-256 over the canonical JSON of a document's values, in hex."""
    return hashlib.sha256(canonical_json.encode(values)).hexdigest()
