"""Command that publishes a procedure revision."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final

from prep.record.command import Command, Facts, Permission
from prep.record.documents.typed import legible, read_document
from prep.record.fields import Document, Meta
from prep.record.procedure.checks.known import (
    IN_FORCE,
    INSTRUMENT_KINDS,
    PUBLISHED_MODELS,
    Known,
)
from prep.record.procedure.document import Procedure
from prep.record.procedure.events import ProcedurePublished
from prep.record.procedure.reading import checked_procedure
from prep.record.roles import OFFICE, Context

EXAMPLE: Final = """\
procedure: TC-SETUP
revision: 2
title: Set-up of the TC-12
models: [TC-12]
manual: Set-up manual TC-12, revision B
note: The chains are checked too.
sections:
  - section: deck
    title: Deck
    steps:
      - step: chains
        title: Check the chain guards
        kind: check
        do: Look at each chain guard, front and rear.
        lines:
          - {line: whole, ask: Every chain is whole}
"""


class PublishProcedure(Command, frozen=True, kw_only=True, tag="procedure.publish"):
    """Publish a procedure revision from its YAML document; a published revision never changes."""

    stream: ClassVar[str] = "procedure"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (PUBLISHED_MODELS, INSTRUMENT_KINDS, IN_FORCE)
    changes: ClassVar = ("procedures",)

    document: Annotated[Document, Meta(examples=[EXAMPLE])]

    def decide(
        self, state: ProcedurePublished | None, context: Context, facts: Facts
    ) -> Sequence[ProcedurePublished]:
        """The document can be worked as written, and is newer than the revision in force."""
        known = Known(
            facts[PUBLISHED_MODELS],
            facts[INSTRUMENT_KINDS],
            facts[IN_FORCE],
            revision=state.revision if state else 0,
        )
        procedure, values, digest = checked_procedure(self.document, known)
        return [ProcedurePublished(procedure.procedure, procedure.revision, digest, values)]

    def draft(self) -> Procedure:
        """The document as far as it can be read; Refusal where nothing of it can."""
        return legible(read_document(self.document, Procedure))
