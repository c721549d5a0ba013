"""Endpoints of procedures: look at, check, compare."""

import datetime
from typing import Annotated, Any

import msgspec

from api.drafts import DraftBody, rehearsed
from api.inputs import Query
from api.operations import View, asks, reads
from api.throttles import Check, Write
from prep.queries.procedures import procedure_row, revision_in_force
from prep.record.procedure.commands import PublishProcedure
from prep.record.procedure.compare import Comparison, compare
from prep.record.token.scopes import READ, Scope


class Checked(msgspec.Struct, frozen=True, kw_only=True):
    """A procedure that may be published as it is."""

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
    asking = frozenset({Scope.MANAGE})
    throttle_classes = (Write, Check)

    @asks
    def post(self, body: DraftBody) -> Checked:
        """Check a procedure: all that publishing it does, and then nothing of it has happened.

        Every problem is named, with its place in the document and what may stand there.
        """
        event = rehearsed(PublishProcedure(document=body.document), self.person)
        return Checked(code=event.procedure, revision=event.revision, digest=event.digest)


class ProcedureView(View):
    """One revision."""

    tag = "procedures"
    reading = READ

    @reads
    def get(self, procedure: str, revision: int) -> ShownProcedure:
        """Look at a procedure revision."""
        row = procedure_row(procedure, revision)
        return ShownProcedure(**{name: row[name] for name in ShownProcedure.__struct_fields__})


class CompareView(View):
    """Two revisions side by side."""

    tag = "procedures"
    reading = READ

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
