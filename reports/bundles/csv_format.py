"""Writing of CSV as any program reads it, and as no spreadsheet computes it.

RFC 4180: a header line, CRLF, quotes where needed; UTF-8. Text that a spreadsheet would take for
a formula gets an apostrophe before it; numbers stay numbers.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final, Protocol

Row = Sequence[str]

# What spreadsheets compute with when text starts with it, full-width forms included (the list of
# the OWASP page on CSV injection). Spaces before it do not help.
FORMULA: Final = re.compile(r"\s*[=+\-@＝＋－＠]|[\t\r\n]")
NUMBER: Final = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?")


def safe_cell(text: str) -> str:
    """Text of a cell that no spreadsheet computes: an apostrophe goes before a formula."""
    if FORMULA.match(text) and not NUMBER.fullmatch(text):
        return "'" + text
    return text


class Target(Protocol):
    """Text sink that takes lines, such as a file."""

    def write(self, line: str, /) -> object:
        """Write a line with its end."""


class Table:
    """Writer of rows into a CSV file; `target` must keep line ends as they are written."""

    def __init__(self, target: Target) -> None:
        self._target = target

    def add(self, lines: Iterable[Row]) -> None:
        """Append rows, each cell made safe."""
        for line in lines:
            self._target.write(csv_line(line))


def csv_line(cells: Row) -> str:
    """A row as one line of CSV, each cell made safe."""
    target = io.StringIO(newline="")
    csv.writer(target, lineterminator="\r\n").writerow([safe_cell(cell) for cell in cells])
    return target.getvalue()
