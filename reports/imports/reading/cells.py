"""Cells and rows of a table, as a file has them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from string import ascii_uppercase
from typing import Any


@dataclass(frozen=True)
class Formula:
    """A cell that is computed. What it showed when it was saved may be out of date."""


@dataclass(frozen=True)
class ErrorValue:
    """A cell of which a spreadsheet says that it could not be computed."""

    text: str


# `""` is an empty cell. A CSV file has texts only.
Cell = str | int | float | bool | date | datetime | time | timedelta | Formula | ErrorValue


@dataclass(frozen=True)
class Row:
    """A row with its number, counted from 1 as a spreadsheet does, empty rows too."""

    line: int
    cells: Sequence[Cell]

    @property
    def empty(self) -> bool:
        """Whether there is nothing in it but spaces."""
        return all(isinstance(cell, str) and not cell.strip() for cell in self.cells)


@dataclass(frozen=True)
class Notice:
    """What to know of how a file was read, as a code and the values its sentence names."""

    code: str
    values: dict[str, Any]


@dataclass(frozen=True)
class Table:
    """A table: its rows, read anew at each call, and what to know of how it was read."""

    rows: Callable[[], Iterator[Row]]
    notices: tuple[Notice, ...] = ()


def column_letter(number: int) -> str:
    """The letters of a column, counted from 1: A, B … Z, AA."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, len(ascii_uppercase))
        letters = ascii_uppercase[rest] + letters
    return letters
