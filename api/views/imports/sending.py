"""Endpoints that send a file to be imported, list imports, and say which kinds there are."""

from typing import Annotated, Final
from uuid import UUID

import msgspec
from django.http import HttpResponse
from rest_framework.parsers import MultiPartParser

from api.inputs import Query, SentFile
from api.media_types import AnyFileBody, CsvBody, WorkbookBody
from api.operations import View, accepts_file, reads, reads_file
from api.views.imports.answers import ShownImport, shown, shown_all, table
from prep.queries.readers import reader_of
from prep.record.token.scopes import BY_COMMAND, READ
from prep.words.reader import say
from reports import imports

NEWEST: Final = 200


class ImportQuery(Query, frozen=True, kw_only=True):
    """What a file holds, and what is to be done with it."""

    kind: Annotated[str, msgspec.Meta(max_length=20, description="As `imports/kinds` lists it.")]
    site: Annotated[
        str,
        msgspec.Meta(max_length=20, description="The yard of the rows; needed with several yards."),
    ] = ""
    dry_run: Annotated[
        bool, msgspec.Meta(description="Check only; `imports/{import_id}/run` carries out later.")
    ] = True
    skip_problems: Annotated[
        bool, msgspec.Meta(description="Leave rows with problems out, instead of doing nothing.")
    ] = False
    name: Annotated[str, msgspec.Meta(max_length=200, description="The file's name.")] = ""


class ImportList(msgspec.Struct, frozen=True, kw_only=True):
    """Imports, the newest first."""

    items: list[ShownImport]


class ShownColumn(msgspec.Struct, frozen=True, kw_only=True):
    """A column: its name and its title, either of which a file may have; how cells are read."""

    name: str
    title: str
    kind: str
    required: bool
    example: str


class ShownKind(msgspec.Struct, frozen=True, kw_only=True):
    """A kind of import; each row becomes `command`. `of_site`: the rows are of one yard.

    With `data`, further columns are values of the model, called as in its document.
    """

    kind: str
    title: str
    explanation: str
    command: str
    of_site: bool
    data: bool
    columns: list[ShownColumn]


class KindList(msgspec.Struct, frozen=True, kw_only=True):
    """Kinds of import."""

    items: list[ShownKind]


class ImportsView(View):
    """Your imports."""

    tag = "imports"
    reading = READ
    asking = BY_COMMAND
    parser_classes = (CsvBody, WorkbookBody, AnyFileBody, MultiPartParser)

    @reads
    def get(self) -> ImportList:
        """List your imports: the newest 200."""
        reader = reader_of(self.person)
        return ImportList(items=shown_all(list(imports.imports_by(self.person)[:NEWEST]), reader))

    @accepts_file
    def post(self, command: UUID, query: ImportQuery, file: SentFile) -> ShownImport:
        """Send a file to be imported.

        A CSV file or a workbook (.xlsx), as the whole body or as the part `file`. All rows
        are checked first. Then, unless it is a dry run, each becomes a command in your name; where
        there are problems nothing is done, unless they are skipped.
        """
        job = imports.accept(
            actor=self.person,
            kind=query.kind,
            content=file.content,
            name=query.name or file.name,
            command=command,
            site=query.site,
            run=not query.dry_run,
            skip_problems=query.skip_problems,
        )
        return shown(job, reader_of(self.person))


class KindsView(View):
    """Kinds of import."""

    tag = "imports"
    reading = READ

    @reads
    def get(self) -> KindList:
        """List what can be imported, with the columns of each."""
        reader = reader_of(self.person)
        return KindList(
            items=[
                ShownKind(
                    kind=kind.name,
                    title=say(reader, kind.title),
                    explanation=say(reader, kind.explanation),
                    command=kind.command.tag(),
                    of_site=kind.of_site,
                    data=bool(kind.data),
                    columns=[
                        ShownColumn(
                            name=column.name,
                            title=say(reader, column.title),
                            kind=column.kind.value,
                            required=column.required,
                            example=column.example,
                        )
                        for column in kind.columns
                    ],
                )
                for kind in imports.IMPORTS.values()
            ]
        )


class TemplateView(View):
    """A file to fill in."""

    tag = "imports"
    reading = READ

    @reads_file
    def get(self, kind: str, ending: str) -> HttpResponse:
        """Download an empty table with an example row."""
        wanted = imports.import_kind(kind)
        content = imports.template(wanted, reader_of(self.person), ending)
        return table(content, wanted.name, ending)
