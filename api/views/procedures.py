"""Endpoints of procedures: look at, check, compare."""

import datetime
from typing import Annotated, Any

import msgspec

from api.inputs import Body, Document, Query
from api.operations import View, asks, reads
from prep.queries.procedures import check_document, procedure_row, revision_in_force
from prep.record.procedure.compare import Comparison, compare


class DraftBody(Body, frozen=True, kw_only=True):
    """The document to check."""

    document: Document


class Checked(msgspec.Struct, frozen=True, kw_only=True):
    """A document without problems."""

    code: str
    revision: int
    digest: str


class ShownProcedure(msgspec.Struct, frozen=True, kw_only=True):
    """A revision; `document` is the whole document, as published."""

    procedure: str
    revision: int
    digest: str
    title: str
    model_codes: list[str]
    published: datetime.datetime
    document: dict[str, Any]


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


class ProcedureCheckView(View):
    """A procedure looked through before it is published."""

    tag = "procedures"

    @asks
    def post(self, body: DraftBody) -> Checked:
        """Check a procedure without publishing it.

        Problems are returned with the paths of their lines.
        """
        procedure, digest = check_document(body.document)
        return Checked(code=procedure.procedure, revision=procedure.revision, digest=digest)


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

        Steps added, removed and changed, each change with its path. Moving a sheet from one to
        the other re-opens the changed steps.
        """
        _, before = revision_in_force(procedure, query.before)
        _, after = revision_in_force(procedure, query.after)
        return ShownComparison(
            procedure=procedure,
            before=query.before,
            after=query.after,
            comparison=compare(before, after),
        )
