"""Parts that documents share: grids, boxes, headings with bookmarks."""

from collections.abc import Iterator, Sequence
from typing import Any, Final, TypeAlias

from reportlab.lib.units import mm
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from reports.pdf.typeface import BODY, CELL, HEAD, LABEL, SECTION, bold, cut, drawable, plain

INK: Final = "#000000"
RULE: Final = "#9a9a9a"
PALE: Final = "#ececec"
FAINT: Final = "#f6f6f6"
PADDING: Final = (
    ("FONT", (0, 0), (-1, -1), BODY, 8),  # of empty cells too: every font named must be embedded
    ("LEFTPADDING", (0, 0), (-1, -1), 3),
    ("RIGHTPADDING", (0, 0), (-1, -1), 3),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2.4),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
)
Cell: TypeAlias = Flowable | Sequence[Flowable] | str


def noted(text: str, width: float) -> Table:
    """A box with a sentence that is to be read before all else."""
    return box([Paragraph(bold(text, 600), CELL)], width, ("BACKGROUND", (0, 0), (-1, -1), PALE))


class Heading(Paragraph):  # type: ignore[misc]  # reportlab is untyped
    """A section's heading, which the reader's program lists as a bookmark."""

    def __init__(self, text: str, key: str) -> None:
        super().__init__(plain(text, 120), SECTION)
        self.bookmark = (drawable(cut(text, 80)), key)

    def split(self, *_: Any) -> list[Flowable]:
        """No parts: a heading is not split, but goes to the next page whole."""
        return []

    def draw(self) -> None:
        """Draw the heading, and add its bookmark."""
        title, key = self.bookmark
        self.canv.bookmarkHorizontal(key, 0, self.height + 4)
        self.canv.addOutlineEntry(title, key, 0)
        super().draw()


def headed(text: str, key: str, room: float = 30) -> Iterator[Flowable]:
    """A heading that is not left alone at the foot of a page: `room` in mm for what follows."""
    yield CondPageBreak(room * mm)
    yield Heading(text, key)


def grid(
    rows: Sequence[Sequence[Cell]],
    widths: Sequence[float],
    *more: Any,
    head: int = 1,
    lines: bool = True,
) -> Table:
    """A ruled table whose first `head` rows are repeated on every page."""
    style: list[Any] = [*PADDING]
    if lines:
        style.append(("LINEBELOW", (0, 0), (-1, -1), 0.3, RULE))
    if head:
        style += [
            ("BACKGROUND", (0, 0), (-1, head - 1), PALE),
            ("LINEABOVE", (0, 0), (-1, 0), 0.8, INK),
            ("LINEBELOW", (0, head - 1), (-1, head - 1), 0.8, INK),
        ]
    table = Table([list(row) for row in rows], widths, repeatRows=head)
    table.setStyle(TableStyle([*style, *more]))
    return table


def heads(*titles: str) -> list[Paragraph]:
    """A table's head row."""
    return [Paragraph(plain(title), HEAD) for title in titles]


def box(content: Sequence[Flowable], width: float, *more: Any) -> Table:
    """Content in a frame."""
    table = Table([[list(content)]], [width])
    style = [
        *PADDING,
        ("BOX", (0, 0), (-1, -1), 0.8, INK),
        ("LEFTPADDING", (0, 0), (-1, -1), 7),
        ("RIGHTPADDING", (0, 0), (-1, -1), 7),
        ("TOPPADDING", (0, 0), (-1, -1), 5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 7),
    ]
    table.setStyle(TableStyle([*style, *more]))
    return table


def label(text: str) -> Paragraph:
    """A caption in small type over a value."""
    return Paragraph(plain(text), LABEL)


def space(millimetres: float) -> Spacer:
    """Vertical space."""
    return Spacer(1, millimetres * mm)


def together(*content: Flowable) -> KeepTogether:
    """Content that is kept together where a page can hold it."""
    return KeepTogether(list(content))
