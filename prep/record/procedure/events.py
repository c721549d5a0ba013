"""Events of a procedure's stream."""

from typing import Any

from prep.record.log.reference_event import ReferenceEvent


class ProcedurePublished(ReferenceEvent, frozen=True, tag="procedure.published"):
    """A revision came into force. `document` is the whole of it and never changes."""

    procedure: str
    revision: int
    digest: str
    document: dict[str, Any]
