"""The titles of a file's columns: found, and matched with the columns of an import."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

from prep.record.refusal import Refusal
from reports.imports.declared import (
    DATA_NAME,
    LONGEST_DATA_NAME,
    Column,
    ImportKind,
    comparable,
)
from reports.imports.reading.cells import Cell, Row, Table, column_letter
from reports.imports.reading.values import CellKind

SEARCHED: Final = 20  # rows in which the titles are looked for where the first has none of them
SHOWN: Final = 200


@dataclass(frozen=True)
class Heading:
    """One column of a file: its place, counted from 1, its title there, and what it fills."""

    place: int
    title: str
    column: Column


@dataclass(frozen=True)
class Headings:
    """The columns of a file, and the line their titles are in."""

    line: int
    all: tuple[Heading, ...]

    def named(self, name: str) -> Heading | None:
        """The column of the file that fills a field."""
        return next((one for one in self.all if one.column.name == name), None)


def headings_of(table: Table, kind: ImportKind) -> Headings:
    """The columns of a file; raises Refusal, naming every one at fault."""
    rows = [row for row in islice(table.rows(), SEARCHED) if not row.empty]
    if not rows:
        raise Refusal("table-empty")
    titles = rows[0]
    if not _known(titles, kind):
        _look_further(rows, kind)
    shown = list(_titles(titles))
    _check_repeated([title for _, title in shown])
    found = {title: column for _, title in shown if (column := _column(title, kind))}
    _check_unknown([title for _, title in shown if title not in found], kind)
    headings = [Heading(place, title, found[title]) for place, title in shown]
    _check_same_field(headings)
    _check_missing(headings, kind)
    return Headings(titles.line, tuple(headings))


def recognizes(kind: ImportKind, title: str) -> bool:
    """Whether a title is that of a declared column."""
    return comparable(title) in kind.by_spelling


def _titles(row: Row) -> Iterator[tuple[int, str]]:
    """The titles with their places; those of empty columns at the right end are left out."""
    texts = [_title(cell) for cell in row.cells]
    while texts and not texts[-1]:
        texts.pop()
    for place, text in enumerate(texts, 1):
        if not text:
            raise Refusal("header-empty", letter=column_letter(place))
        yield place, text


def _title(cell: Cell) -> str:
    """A title on one line; what cannot be printed is left out, so that it can be shown."""
    if isinstance(cell, float) and cell.is_integer():
        cell = int(cell)
    text = str(cell)
    printable = "".join(
        " " if sign.isspace() else sign
        for sign in text
        if sign.isspace() or not unicodedata.category(sign).startswith("C")
    )
    return " ".join(printable.split())[:SHOWN]


def _known(row: Row, kind: ImportKind) -> int:
    return sum(recognizes(kind, _title(cell)) for cell in row.cells)


def _look_further(rows: Sequence[Row], kind: ImportKind) -> None:
    """Name the line the titles seem to be in, where lines with something else are above it."""
    best = max(rows, key=lambda row: _known(row, kind))
    if _known(best, kind) > 1:
        raise Refusal("header-not-first", line=best.line)


def _column(title: str, kind: ImportKind) -> Column | None:
    declared = kind.by_spelling.get(comparable(title))
    if declared or not kind.data or not DATA_NAME.fullmatch(title):
        return declared
    return Column(title, title, CellKind.DATA) if len(title) <= LONGEST_DATA_NAME else None


def _check_repeated(titles: Sequence[str]) -> None:
    alike = [comparable(title) or title for title in titles]
    repeated = [title for place, title in enumerate(titles) if alike[place] in alike[:place]]
    if repeated:
        raise Refusal("header-repeated", headers=tuple(repeated))


def _check_unknown(unknown: Sequence[str], kind: ImportKind) -> None:
    if not unknown:
        return
    columns = tuple(column.title for column in kind.columns)
    if kind.data:
        raise Refusal("header-unknown-data", unknown=tuple(unknown), columns=columns)
    raise Refusal("header-unknown", unknown=tuple(unknown), columns=columns)


def _check_same_field(headings: Sequence[Heading]) -> None:
    """Two titles that differ may still stand for one field: “S/N” beside “Serial number”."""
    for place, one in enumerate(headings):
        for earlier in headings[:place]:
            if one.column.name == earlier.column.name:
                raise Refusal("header-same", headers=(earlier.title, one.title))


def _check_missing(headings: Sequence[Heading], kind: ImportKind) -> None:
    given = {one.column.name for one in headings}
    required = [column for column in kind.columns if column.required]
    missing = [column.title for column in required if column.name not in given]
    if missing:
        raise Refusal("header-missing", columns=tuple(missing))
