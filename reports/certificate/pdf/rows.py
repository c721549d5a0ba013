"""Rows of a section's table: ordinary ones, ones across, and ones that belong to the row above."""

from collections.abc import Sequence
from typing import Any, Final

from reports.pdf.parts import FAINT, heads
from reports.pdf.typeface import plain

# A row and what must stay with it fit on a page, whatever was typed: the record has it all.
MOST_IN_CELL: Final = 200
SHARES: Final = (0.24, 0.18, 0.27, 0.14, 0.17)


class Rows:
    """Rows of a section's table, and the style commands of those that differ."""

    def __init__(self, titles: Sequence[str]) -> None:
        self.rows: list[list[Any]] = [heads(*titles)]
        self.style: list[tuple[Any, ...]] = []
        self.joined = False

    def add(self, cells: list[Any]) -> None:
        """Add an ordinary row."""
        self.rows.append(cells)
        self.joined = False

    def across(self, cell: Any, first: int = 0, last: int = -1) -> None:
        """Add a row in which one cell spans the columns from `first` to `last`."""
        place = len(self.rows)
        blank: list[Any] = [""] * len(SHARES)
        blank[first] = cell
        self.rows.append(blank)
        self.style.append(("SPAN", (first, place), (last, place)))
        self.joined = False

    def shade(self) -> None:
        """Shade the row added last, and keep it with the one that follows."""
        place = len(self.rows) - 1
        self.style.append(("BACKGROUND", (0, place), (-1, place), FAINT))
        self.style.append(("NOSPLIT", (0, place), (-1, place + 1)))

    def beneath(self, cell: Any) -> None:
        """Add a row that belongs to the one above: no line between, no break before the first."""
        first = not self.joined
        self.across(cell, first=1)
        place = len(self.rows) - 1
        self.style.append(("LINEBELOW", (0, place - 1), (-1, place - 1), 0.3, "#ffffff"))
        if first:
            self.style.append(("NOSPLIT", (0, place - 1), (-1, place)))
        self.joined = True


def short(text: str) -> str:
    """Text as markup, cut to what a cell of this table holds."""
    return plain(text, MOST_IN_CELL)
