"""Endpoints of one import: where it stands, run, stop, resume, its problems."""

from typing import Annotated
from uuid import UUID

import msgspec
from django.http import HttpResponse

from api.inputs import Query
from api.operations import View, asks, reads, reads_file
from api.paging import Page, PageQuery, address_after, decode
from api.views.imports.answers import ShownImport, shown, table
from prep.queries.readers import reader_of
from prep.record.refusal import Refusal
from prep.record.stored_refusals import restored
from prep.record.token.scopes import BY_COMMAND, PERSONAL, READ
from reports import imports
from reports.models import Import, ImportProblem


class RunQuery(Query, frozen=True, kw_only=True):
    """How to run an import."""

    skip_problems: Annotated[
        bool, msgspec.Meta(description="Leave rows with problems out, instead of doing nothing.")
    ] = False


class ShownProblem(msgspec.Struct, frozen=True, kw_only=True):
    """What is wrong with a row: `column` is its letter and `header` its title.

    Both are empty where it is wrong as a whole.
    """

    line: int
    column: str
    header: str
    code: str
    text: str


class ProblemPage(Page[ShownProblem], frozen=True, kw_only=True):
    """Problems of an import."""


class _ImportView(View):
    """What the views of one import share."""

    tag = "imports"
    reading = READ
    asking = BY_COMMAND

    def _import(self, import_id: UUID) -> Import:
        return imports.import_of(self.person, import_id)

    def _shown(self, job: Import) -> ShownImport:
        return shown(job, reader_of(self.person))


class ImportView(_ImportView):
    """One import."""

    @reads
    def get(self, import_id: UUID) -> ShownImport:
        """See how far an import of yours is."""
        return self._shown(self._import(import_id))


class RunView(_ImportView):
    """Running a checked import."""

    @asks
    def post(self, import_id: UUID, query: RunQuery) -> ShownImport:
        """Carry out the rows of a checked import of yours."""
        job = imports.import_to_change(self.person, import_id)
        imports.start(job, skip_problems=query.skip_problems)
        return self._shown(job)


class StopView(_ImportView):
    """Stopping an import."""

    @asks
    def post(self, import_id: UUID) -> ShownImport:
        """Stop an import of yours; what was done stays done."""
        job = imports.import_to_change(self.person, import_id)
        imports.stop(job)
        return self._shown(job)


class ResumeView(_ImportView):
    """Going on with a stopped import."""

    @asks
    def post(self, import_id: UUID) -> ShownImport:
        """Go on with an import of yours that was stopped or failed."""
        job = imports.import_to_change(self.person, import_id)
        imports.resume(job)
        return self._shown(job)


class ProblemsView(_ImportView):
    """Problems of an import."""

    reading = PERSONAL  # they name what was typed

    @reads
    def get(self, import_id: UUID, query: PageQuery) -> ProblemPage:
        """List the problems of an import of yours, in the order they were found."""
        found = imports.problems_of(self._import(import_id)).order_by("pk")
        if query.cursor:
            found = found.filter(pk__gt=_after(query.cursor))
        rows = list(found[: query.limit + 1])
        more = len(rows) > query.limit
        page = rows[: query.limit]
        mark = str(page[-1].pk) if more else ""
        return ProblemPage(
            items=[self._problem(row) for row in page], next=address_after(self.request, mark)
        )

    def _problem(self, row: ImportProblem) -> ShownProblem:
        _, column, header, text = imports.problem_cells(row, reader_of(self.person))
        code = restored(row.refusal).code
        return ShownProblem(line=row.line, column=column, header=header, code=code, text=text)


class ProblemFileView(_ImportView):
    """The problems of an import as a file."""

    reading = PERSONAL

    @reads_file
    def get(self, import_id: UUID, ending: str) -> HttpResponse:
        """Download the problems of an import of yours as a table."""
        job = self._import(import_id)
        content = imports.problem_file(job, reader_of(self.person), ending)
        return table(content, f"problems-{job.pk}", ending)


def _after(cursor: str) -> int:
    text = decode(cursor)
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise Refusal("cursor-unfit", field="cursor")
    return int(text)
