"""A row of a file as the command it becomes, or everything that is wrong with it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from prep.record.command import Command
from prep.record.documents.problems import unfit
from prep.record.refusal import Refusal
from prep.record.struct_errors import checked
from reports.imports.declared import ImportKind
from reports.imports.headers import Headings
from reports.imports.reading.cells import Cell, ErrorValue, Formula, Row, Table


class Problem(NamedTuple):
    """What is wrong with a row, and in which column: 0 and no title for the row as a whole."""

    line: int
    column: int
    header: str
    refusal: Refusal


@dataclass(frozen=True)
class Prepared:
    """A row that is not empty: its command, or its problems and no command."""

    line: int
    command: Command | None
    problems: tuple[Problem, ...] = ()


class RowReader:
    """Reads the rows of a table for an import at a yard."""

    def __init__(self, table: Table, headings: Headings, kind: ImportKind, site: str) -> None:
        self._table = table
        self._headings = headings
        self._kind = kind
        self._site = site

    def rows(self) -> Iterator[Row]:
        """The rows below the titles that are not empty."""
        return (
            row for row in self._table.rows() if row.line > self._headings.line and not row.empty
        )

    def prepared(self, row: Row) -> Prepared:
        """The command of a row, with the fields that are checked without looking anything up."""
        values, problems = self._values(row)
        if problems:
            return Prepared(row.line, None, tuple(problems))
        if self._is_example(values):
            return Prepared(row.line, None, self.problems(row.line, Refusal("row-is-example")))
        try:
            return Prepared(row.line, checked(self._kind.make(values, self._site)))
        except Refusal as no:
            return Prepared(row.line, None, self.problems(row.line, no))

    def problems(self, line: int, refusal: Refusal) -> tuple[Problem, ...]:
        """A refusal of a row as problems in the columns it is about, one for each fault."""
        if refusal.code == "document-unfit":
            return tuple(
                self._problem(line, one.path, unfit([one])) for one in refusal.details["problems"]
            )
        if refusal.code != "input-unfit":
            return (self._problem(line, refusal.field.split("."), refusal),)
        return tuple(
            self._problem(line, fault.path, Refusal("input-unfit", faults=(fault,)))
            for fault in refusal.details["faults"]
        )

    def lacking(self, command: Command) -> tuple[str, ...]:
        """What is on record of the thing a row is about, and has no column in this file."""
        present = self._kind.present(command)
        kept = [name for name, value in present.items() if value]
        return tuple(sorted(name for name in kept if not self._headings.named(name)))

    def _problem(self, line: int, path: Any, refusal: Refusal) -> Problem:
        for name in path:
            if heading := self._headings.named(str(name)):
                return Problem(line, heading.place, heading.title, refusal)
        return Problem(line, 0, "", refusal)

    def _values(self, row: Row) -> tuple[dict[str, Any], list[Problem]]:
        """The values of the cells that are not empty, and what is wrong with cells."""
        values: dict[str, Any] = {}
        problems = []
        for heading in self._headings.all:
            cell = row.cells[heading.place - 1] if heading.place <= len(row.cells) else ""
            try:
                value = heading.column.value(cell)
            except Refusal as no:
                problems.append(Problem(row.line, heading.place, heading.title, no))
                continue
            if value is not None:
                values[heading.column.name] = value
        width = len(self._headings.all)
        problems += [
            Problem(row.line, place, "", Refusal("cell-beyond-headers"))
            for place, cell in enumerate(row.cells[width:], width + 1)
            if _filled(cell)
        ]
        return values, problems

    def _is_example(self, values: Mapping[str, Any]) -> bool:
        """Whether somebody left the example of the template in the file."""
        examples = {
            column.name: column.value(column.example)
            for column in self._kind.columns
            if column.example and self._headings.named(column.name)
        }
        return all(values.get(name) == example for name, example in examples.items())


def _filled(cell: Cell) -> bool:
    return isinstance(cell, Formula | ErrorValue) or bool(str(cell).strip())
