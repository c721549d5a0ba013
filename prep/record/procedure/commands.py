"""Command that publishes a procedure revision."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, ClassVar, Final

from prep.record.command import Command, Facts, Permission
from prep.record.facts import ModelFacts
from prep.record.fields import Document, Meta
from prep.record.needs import MODELS
from prep.record.procedure.checks import check
from prep.record.procedure.document import Procedure
from prep.record.procedure.events import ProcedurePublished
from prep.record.procedure.problems import DocumentError
from prep.record.procedure.yaml_documents import load_procedure
from prep.record.refusal import Refusal
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
    needs: ClassVar = (MODELS,)
    changes: ClassVar = ("procedures",)

    document: Annotated[Document, Meta(examples=[EXAMPLE])]

    def decide(
        self, state: ProcedurePublished | None, context: Context, facts: Facts
    ) -> Sequence[ProcedurePublished]:
        """The document can be worked as written, and is newer than the revision in force."""
        procedure, values, digest = checked_document(self.document, facts[MODELS])
        if state and procedure.revision <= state.revision:
            raise Refusal(
                "revision-not-newer",
                field="document",
                document=procedure.procedure,
                revision=state.revision,
                following=state.revision + 1,
            )
        return [ProcedurePublished(procedure.procedure, procedure.revision, digest, values)]


def checked_document(
    text: str, models: Mapping[str, ModelFacts]
) -> tuple[Procedure, dict[str, Any], str]:
    """The procedure in a document, its plain values and its digest.

    Raises DocumentError with every problem and its path.
    """
    procedure, values, digest = load_procedure(text)
    if problems := check(procedure, models):
        raise DocumentError(problems)
    return procedure, values, digest
