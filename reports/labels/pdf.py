"""Labels as PDF pages: a large QR code, the serial, and whose machine it is.

Black on white and nothing else, because sun, grease and a thermal printer leave no greys.
"""

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from prep.words.reader import Reader, say
from reports.labels.sizes import LabelSize
from reports.pdf.page import within
from reports.pdf.qr import draw_qr
from reports.pdf.typeface import BODY, BOLD, drawable, printable

# Capitals of DejaVu are 0.73 of the size: 13 pt are 3.3 mm, which 0.7 m away are 16 minutes of
# arc, the least that ISO 9241-303 calls readable (value from memory).
ARMS_LENGTH: Final = 13.0
LARGEST: Final = 48.0
MOST_LINES: Final = 6
LEADING: Final = 1.16
EDGE: Final = 0.045  # of the height: what a printer that feeds askew may cut
SMALL: Final = 6.0
ROOM_FOR_ADDRESS: Final = 30 * mm  # height of the text that has room for the address as well


@dataclass(frozen=True)
class LabelFacts:
    """Facts printed on a unit's label. `address` is its page, and what the QR code holds."""

    serial: str
    machine: str
    site: str
    address: str


@dataclass(frozen=True)
class Line:
    """One line of text at its size."""

    text: str
    font: str
    size: float


def label_pages(
    labels: Sequence[LabelFacts], size: LabelSize, first: int, reader: Reader, subject: str = ""
) -> bytes:
    """PDF of labels from the `first` place (1 is top left) on; same labels, same bytes.

    `subject` is told in the file's properties alone: a label has no room for it.
    """
    target = io.BytesIO()
    page = (size.page[0] * mm, size.page[1] * mm)
    canvas = Canvas(target, pagesize=page, invariant=1, initialFontName=BODY, lang=reader.language)
    serials = ", ".join(one.serial for one in labels[:3])
    canvas.setTitle(drawable(say(reader, "Labels: {serials}", serials=serials)))
    canvas.setSubject(drawable(subject))
    canvas.setCreator("Yardproof")
    for place, facts in enumerate(labels, first - 1):
        if place % size.count == 0 and place >= size.count:
            canvas.showPage()
        x, y = size.corner(place % size.count)
        canvas.saveState()
        canvas.translate(x * mm, y * mm)
        _draw(canvas, facts, size.width * mm, size.height * mm, reader)
        canvas.restoreState()
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _draw(canvas: Any, facts: LabelFacts, width: float, height: float, reader: Reader) -> None:
    """Draw one label, lower left corner at the origin: the code left of the text, or above it."""
    edge, side = EDGE * min(width, height), code_side(width, height)
    if width > height:
        draw_qr(canvas, facts.address, edge, (height - side) / 2, side, "h")
        # The code's white border is the distance to the text; as much stays free at the right.
        corner, room = (edge + side, edge), (width - 4 * edge - side, height - 2 * edge)
    else:
        draw_qr(canvas, facts.address, (width - side) / 2, height - edge - side, side, "h")
        corner, room = (3 * edge, edge), (width - 6 * edge, height - 3 * edge - side)
    _text(canvas, _lines(facts, *room, reader), corner, room)


def code_side(width: float, height: float) -> float:
    """Side of a label's code with its white border, in the unit of the label's sides."""
    edge = EDGE * min(width, height)
    if width > height:
        return min(height - 2 * edge, 0.45 * width)
    return min(width - 2 * edge, 0.66 * height)


def _text(
    canvas: Any, lines: Sequence[Line], corner: tuple[float, float], room: tuple[float, float]
) -> None:
    """Draw the text of a label, centered in the height of its room."""
    y = corner[1] + (room[1] + sum(line.size for line in lines) * LEADING) / 2
    for line in lines:
        y -= line.size * LEADING
        canvas.setFont(line.font, line.size)
        canvas.drawString(corner[0], y + 0.22 * line.size, line.text)


def _lines(facts: LabelFacts, width: float, height: float, reader: Reader) -> list[Line]:
    whole = drawable(facts.serial) == facts.serial
    caption = say(reader, "serial number") if whole else say(reader, "serial, incomplete")
    above = Line(within(caption, BODY, SMALL, width), BODY, SMALL)
    beneath = [
        _one_line(facts.machine, BOLD, width, height),
        _one_line(facts.site, BODY, width, height),
    ]
    if height >= ROOM_FOR_ADDRESS:
        beneath += _spread(facts.address, BODY, width, 5 * SMALL, SMALL)
    free = height - LEADING * sum(line.size for line in (above, *beneath))
    return [above, *_spread(facts.serial, BOLD, width, free, LARGEST), *beneath]


def _one_line(text: str, font: str, width: float, height: float) -> Line:
    """A text in one line of a ninth of the height, or smaller; cut where that does not do."""
    shown = printable(text)
    size = max(min(height / 9, 14, width / stringWidth(shown or " ", font, 1)), SMALL)
    return Line(within(shown, font, size, width), font, size)


def _spread(text: str, font: str, width: float, height: float, largest: float) -> list[Line]:
    """A text on as few lines as leave it large for its room, and readable at arm's length.

    Where no number of lines does, on the number that makes it largest.
    """
    shown = printable(text)
    enough = min(max(ARMS_LENGTH, height / 5), largest)
    best: list[Line] = []
    for count in range(1, MOST_LINES + 1):
        each = math.ceil(len(shown) / count)
        parts = [shown[start : start + each] for start in range(0, len(shown), each)]
        longest = max(stringWidth(part, font, 1) for part in parts)
        size = min(width / longest, height / (len(parts) * LEADING), largest)
        if not best or size > best[0].size:
            best = [Line(part, font, size) for part in parts]
        if size >= enough:
            break
    return best
