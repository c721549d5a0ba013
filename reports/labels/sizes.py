"""Sizes of labels: sheets cut into a grid, and rolls of one label a page.

The sizes are plain ones that many manufacturers cut; the names are tokens of ours, with words in
`prep.words.documents.label_sizes`. A sheet's grid is centered on its paper. Common practice,
no published source, but for the sheets of 8 and of 4, which are A4 halved (ISO 216).
"""

from dataclasses import dataclass
from typing import Final

from prep.record.refusal import Refusal

INCH: Final = 25.4
PAPERS: Final = {"A4": (210.0, 297.0), "Letter": (8.5 * INCH, 11 * INCH)}


@dataclass(frozen=True)
class LabelSize:
    """Labels of one size, in mm: `columns` by `rows` of them on a page, `gap` between columns."""

    name: str
    width: float
    height: float
    page: tuple[float, float]
    columns: int = 1
    rows: int = 1
    gap: float = 0.0

    @property
    def count(self) -> int:
        """How many labels a page holds."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Lower left corner of a label in mm from that of its page; place 0 is top left."""
        row, column = divmod(place, self.columns)
        across = self.columns * self.width + (self.columns - 1) * self.gap
        down = self.rows * self.height
        left = (self.page[0] - across) / 2 + column * (self.width + self.gap)
        top = (self.page[1] + down) / 2 - row * self.height
        return left, top - self.height


def _sheet(
    paper: str, columns: int, rows: int, width: float, height: float, gap: float = 0.0
) -> LabelSize:
    name = f"{paper.lower()}-{columns * rows}"
    return LabelSize(name, width, height, PAPERS[paper], columns, rows, gap)


def _roll(width: int, height: int) -> LabelSize:
    return LabelSize(f"roll-{width}x{height}", width, height, (width, height))


SIZES: Final = {
    size.name: size
    for size in (
        _sheet("A4", 3, 8, 70, 37),
        _sheet("A4", 2, 7, 99, 38, 2.5),
        _sheet("A4", 2, 4, 105, 74),
        _sheet("A4", 2, 2, 105, 148),
        _sheet("Letter", 3, 10, 2.625 * INCH, 1 * INCH, 0.125 * INCH),
        _sheet("Letter", 2, 5, 4 * INCH, 2 * INCH, 0.2 * INCH),
        _sheet("Letter", 2, 3, 4 * INCH, 10 / 3 * INCH, 0.2 * INCH),
        _roll(50, 25),
        _roll(75, 50),
        _roll(100, 50),
        _roll(100, 150),
    )
}


def size_named(name: str) -> LabelSize:
    """A label size by its name; raises Refusal where there is none."""
    if name not in SIZES:
        raise Refusal("no-such-size", field="size", sizes=tuple(SIZES))
    return SIZES[name]
