"""Command that publishes the data of a machine model or a tractor."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final

from prep.record.command import Command, Facts, Permission
from prep.record.facts import ModelDocument
from prep.record.fields import Document, Meta
from prep.record.model.events import ModelPublished
from prep.record.needs import MAKER
from prep.record.procedure.yaml_documents import convert, load_yaml
from prep.record.refusal import Refusal
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
    needs: ClassVar = (MAKER,)
    changes: ClassVar = ("models",)

    document: Annotated[Document, Meta(examples=[EXAMPLE])]

    @property
    def maker(self) -> str:
        """The manufacturer as the document names it."""
        return self.parsed().maker

    def parsed(self) -> ModelDocument:
        """The document as data. Raises DocumentError."""
        return convert(load_yaml(self.document), ModelDocument)

    def decide(
        self, state: ModelPublished | None, context: Context, facts: Facts
    ) -> Sequence[ModelPublished]:
        """The revision is newer than the one published last."""
        document = self.parsed()
        if state and state.facts.revision >= document.revision:
            raise Refusal(
                "revision-not-newer",
                field="document",
                document=document.model,
                revision=state.facts.revision,
                following=state.facts.revision + 1,
            )
        return [ModelPublished(document.facts(facts[MAKER]), document.sort)]
