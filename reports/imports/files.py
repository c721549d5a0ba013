"""The file of an import, opened: its table, its columns and a reader of its rows."""

from dataclasses import dataclass

from prep.models import MachineModel
from reports.imports.declared import ImportKind
from reports.imports.headers import Headings, headings_of, recognizes
from reports.imports.reading.cells import Notice
from reports.imports.reading.files import open_table
from reports.imports.reading.values import CellKind
from reports.imports.rows import RowReader


@dataclass(frozen=True)
class OpenedFile:
    """A file whose columns are understood."""

    reader: RowReader
    notices: tuple[Notice, ...]


def opened(content: bytes, name: str, kind: ImportKind, site: str) -> OpenedFile:
    """Open a file; raises Refusal where it is no table, or not one of this import."""
    table = open_table(content, name, lambda title: recognizes(kind, title))
    headings = headings_of(table, kind)
    reader = RowReader(table, headings, kind, site)
    return OpenedFile(reader, (*table.notices, *_new_data(headings, kind)))


def _new_data(headings: Headings, kind: ImportKind) -> tuple[Notice, ...]:
    """Values that no model has yet: most times a title that is spelled wrong."""
    names = {one.column.name for one in headings.all if one.column.kind is CellKind.DATA}
    if not names:
        return ()
    for facts in MachineModel.objects.values_list("facts", flat=True):
        names -= set(facts["data"])
    return (Notice("new-data", {"names": ", ".join(sorted(names))}),) if names else ()
