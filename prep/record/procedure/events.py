"""Events of a procedure's stream."""

from typing import Any

import msgspec

from prep.record.log.reference_event import ReferenceEvent
from prep.record.procedure.document import Procedure


class ProcedurePublished(ReferenceEvent, frozen=True, tag="procedure.published"):
    """A revision came into force. `document` is the whole of it and never changes."""

    procedure: str
    revision: int
    digest: str
    document: dict[str, Any]

    def content(self) -> Procedure:
        """The procedure in it."""
        return msgspec.convert(self.document, Procedure)
