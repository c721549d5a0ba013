"""Models, tractors and procedures: what is published, and publishing."""

import datetime
from typing import Annotated, Any

import msgspec

from api.bodies import Body, CommandBody, Query
from api.operations import View, asks, commands, reads
from prep.actions import shop
from prep.actions.writing import Command
from prep.queries.registers import model_of, model_rows, procedure_row, procedure_rows
from prep.queries.shop import revision_in_force
from prep.record.documents_yaml import load_procedure
from prep.record.facts import ModelFacts
from prep.record.revisions import Comparison, compare

Document = Annotated[str, msgspec.Meta(max_length=900_000, description="The document in YAML.")]


class ModelRow(msgspec.Struct, frozen=True, kw_only=True):
    """A model in a list."""

    code: str
    maker: str
    name: str
    revision: int


class ModelList(msgspec.Struct, frozen=True, kw_only=True):
    """Models by name."""

    items: list[ModelRow]


class PublishBody(CommandBody, frozen=True, kw_only=True):
    """The document to publish."""

    document: Document


class DraftBody(Body, frozen=True, kw_only=True):
    """The document to check."""

    document: Document


class ProcedureRow(msgspec.Struct, frozen=True, kw_only=True):
    """A revision in a list."""

    procedure: str
    revision: int
    digest: str
    title: str
    model_codes: list[str]
    published: datetime.datetime


class ProcedureList(msgspec.Struct, frozen=True, kw_only=True):
    """Revisions in force, the newest of each procedure first."""

    items: list[ProcedureRow]


class ShownProcedure(ProcedureRow, frozen=True, kw_only=True):
    """A revision; `document` is the whole of it, in the form it is published in."""

    document: dict[str, Any]


class ProcedureQuery(Query, frozen=True, kw_only=True):
    """What the list is narrowed to."""

    procedure: str = ""


class CompareQuery(Query, frozen=True, kw_only=True):
    """Two revisions of one procedure."""

    before: Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]
    after: Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]


class ShownComparison(msgspec.Struct, frozen=True, kw_only=True):
    """Two revisions side by side."""

    procedure: str
    before: int
    after: int
    comparison: Comparison


class Published(msgspec.Struct, frozen=True, kw_only=True):
    """What came into force; `digest` is a procedure's, by which sheets are pinned to it."""

    code: str
    revision: int
    digest: str


class ModelsView(View):
    """Machine models."""

    tag = "models"

    @reads
    def get(self) -> ModelList:
        """List machine models."""
        rows: Any = model_rows("machine")
        return ModelList(items=rows)

    @commands()
    def post(self, command: Command, body: PublishBody) -> Published:
        """Publish a model's or a tractor's data."""
        found = shop.publish_model(actor=self.person, command=command, text=body.document)
        return Published(code=found.model, revision=found.revision, digest="")


class ModelView(View):
    """One machine model."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a machine model."""
        return model_of(code, "machine")


class TractorsView(View):
    """Tractors."""

    tag = "models"

    @reads
    def get(self) -> ModelList:
        """List tractors."""
        rows: Any = model_rows("tractor")
        return ModelList(items=rows)


class TractorView(View):
    """One tractor."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a tractor."""
        return model_of(code, "tractor")


class ProceduresView(View):
    """Procedures in force."""

    tag = "procedures"

    @reads
    def get(self, query: ProcedureQuery) -> ProcedureList:
        """List procedure revisions."""
        rows: Any = procedure_rows(query.procedure)
        return ProcedureList(items=rows)

    @commands()
    def post(self, command: Command, body: PublishBody) -> Published:
        """Publish a procedure revision.

        It is checked first, and never changes afterwards. Sheets already started stay on their
        revision until they are moved.
        """
        digest = shop.publish_procedure(actor=self.person, command=command, text=body.document)
        procedure, _, _ = load_procedure(body.document)
        return Published(code=procedure.procedure, revision=procedure.revision, digest=digest)


class ProcedureCheckView(View):
    """A procedure looked through before it is published."""

    tag = "procedures"

    @asks
    def post(self, body: DraftBody) -> Published:
        """Check a procedure without publishing it.

        Every problem comes back with the path of the line it stands in.
        """
        procedure, _, digest = shop.check_procedure(body.document)
        return Published(code=procedure.procedure, revision=procedure.revision, digest=digest)


class ProcedureView(View):
    """One revision."""

    tag = "procedures"

    @reads
    def get(self, procedure: str, revision: int) -> ShownProcedure:
        """Look at a procedure revision."""
        row = procedure_row(procedure, revision)
        return ShownProcedure(**{name: row[name] for name in ShownProcedure.__struct_fields__})


class CompareView(View):
    """Two revisions side by side."""

    tag = "procedures"

    @reads
    def get(self, procedure: str, query: CompareQuery) -> ShownComparison:
        """Compare two revisions of a procedure.

        Steps added, removed and changed, each change with its path: what a sheet that is moved
        from the one to the other would re-open.
        """
        _, before = revision_in_force(procedure, query.before)
        _, after = revision_in_force(procedure, query.after)
        return ShownComparison(
            procedure=procedure,
            before=query.before,
            after=query.after,
            comparison=compare(before, after),
        )
