"""Command that publishes the data of a machine model or a tractor."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final

from prep.record.command import Command, Facts, Permission
from prep.record.documents.typed import legible, read_document
from prep.record.facts import ModelDocument
from prep.record.fields import Document, Meta
from prep.record.model.checks import checked_model
from prep.record.model.events import ModelPublished
from prep.record.needs import MANUFACTURERS
from prep.record.procedure.checks.known import (
    IN_FORCE,
    INSTRUMENT_KINDS,
    PUBLISHED_MODELS,
    Known,
)
from prep.record.roles import OFFICE, Context

EXAMPLE: Final = """\
model: TC-12
revision: 2
sort: machine
maker: Larkfield
name: Larkfield TC-12 trailed cutter
note: Blade bolts of a higher grade.
data: {pto_speed: 540 rpm, blade_bolt_torque: 450 ft·lbf}
"""


class PublishModel(Command, frozen=True, kw_only=True, tag="model.publish"):
    """Publish a revision of a model's or a tractor's data from its YAML document.

    Its `maker` is a manufacturer of the register: its id, its name or an alias.
    """

    stream: ClassVar[str] = "model"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (MANUFACTURERS, PUBLISHED_MODELS, INSTRUMENT_KINDS, IN_FORCE)
    changes: ClassVar = ("models",)

    document: Annotated[Document, Meta(examples=[EXAMPLE])]

    def draft(self) -> ModelDocument:
        """The document as far as it can be read; Refusal where nothing of it can."""
        return legible(read_document(self.document, ModelDocument))

    def decide(
        self, state: ModelPublished | None, context: Context, facts: Facts
    ) -> Sequence[ModelPublished]:
        """The data fit the procedures in force, and the revision is newer than the last."""
        known = Known(
            facts[PUBLISHED_MODELS],
            facts[INSTRUMENT_KINDS],
            facts[IN_FORCE],
            revision=state.facts.revision if state else 0,
            sort=state.sort if state else "",
            makers=facts[MANUFACTURERS],
        )
        document, maker = checked_model(self.document, known)
        return [ModelPublished(document.facts(maker), document.sort)]
