"""Pages: paper sizes, running heads and feet, and page n of m."""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from prep.record.refusal import Refusal
from prep.words.reader import Reader, say
from reports.pdf.typeface import BODY, BOLD, drawable, printable

PAPERS: Final[dict[str, tuple[float, float]]] = {"A4": A4, "Letter": LETTER}
# Countries that print on Letter; everybody else prints on A4. Common practice, no published source.
LETTER_ZONES: Final = "America/"

SIDE: Final = 15 * mm
TOP: Final = 20 * mm
BOTTOM: Final = 20 * mm
TOTAL: Final = "pages-in-all"
SIZE: Final = 7.2


@dataclass(frozen=True)
class Running:
    """Running head and foot of each page, left and right."""

    head: tuple[str, str]
    foot: tuple[str, str]
    head_on_first: bool = True


@dataclass(frozen=True)
class About:
    """Metadata of a PDF document; in its `language` the pages are numbered, too."""

    title: str
    subject: str
    author: str
    language: str = "en"


def paper_named(name: str, time_zone: str = "") -> str:
    """A paper size by its name, or the usual one of a time zone; Refusal for an unknown name."""
    if not name:
        return "Letter" if time_zone.startswith(LETTER_ZONES) else "A4"
    for known in PAPERS:
        if known.casefold() == name.casefold():
            return known
    raise Refusal("no-such-paper", field="paper", sizes=tuple(PAPERS))


def room(paper: str) -> float:
    """Width in points between the margins."""
    return float(PAPERS[paper][0] - 2 * SIDE)


def document(story: Sequence[Flowable], paper: str, running: Running, about: About) -> bytes:
    """A story as a PDF of as many pages as it takes. The same story gives the same bytes."""
    target = io.BytesIO()
    width, height = PAPERS[paper]
    frame = Frame(SIDE, BOTTOM, room(paper), height - TOP - BOTTOM, 0, 0, 0, 0)
    first = running.head if running.head_on_first else ("", "")
    reader = Reader(language=about.language)
    template = BaseDocTemplate(
        target,
        pagesize=(width, height),
        pageTemplates=[
            PageTemplate(
                "first",
                frame,
                onPage=_edges(first, running.foot, reader),
                autoNextPageTemplate="more",
            ),
            PageTemplate("more", frame, onPage=_edges(running.head, running.foot, reader)),
        ],
        title=drawable(about.title),
        subject=drawable(about.subject),
        author=drawable(about.author),
        creator="Yardproof",
        lang=about.language,
        invariant=1,
        initialFontName=BODY,
        displayDocTitle=1,
    )
    template.build(list(story), canvasmaker=CountedCanvas)
    return target.getvalue()


class CountedCanvas(Canvas):  # type: ignore[misc]  # reportlab is untyped
    """A canvas whose pages refer to a number that is known only at the end."""

    def save(self) -> None:
        """Draw how many pages there are, once, where every page refers to it; then finish."""
        pages = self.getPageNumber() - 1
        self.beginForm(TOTAL, 0, -2, 40, 10)
        self.setFont(BODY, SIZE)
        self.drawString(0, 0, str(pages))
        self.endForm()
        super().save()


def _edges(
    head: tuple[str, str], foot: tuple[str, str], reader: Reader
) -> Callable[[Any, Any], None]:
    def draw(canvas: Any, template: Any) -> None:
        width, height = template.pagesize
        canvas.saveState()
        canvas.setLineWidth(0.4)
        if any(head):
            _ends(canvas, head, height - TOP + 4 * mm, width)
            canvas.line(SIDE, height - TOP + 2.5 * mm, width - SIDE, height - TOP + 2.5 * mm)
        canvas.line(SIDE, BOTTOM - 3 * mm, width - SIDE, BOTTOM - 3 * mm)
        _ends(canvas, foot, BOTTOM - 6.2 * mm, width)
        number_of_pages(canvas, width - SIDE, BOTTOM - 9.2 * mm, reader)
        canvas.restoreState()

    return draw


def _ends(canvas: Any, texts: tuple[str, str], y: float, width: float) -> None:
    """A text at each end of a line, the left one cut where they would meet."""
    left, right = (printable(text).replace("\n", " ") for text in texts)
    free = width - 2 * SIDE - stringWidth(right, BOLD, SIZE) - 4 * mm
    canvas.setFont(BODY, SIZE)
    canvas.drawString(SIDE, y, within(left, BODY, SIZE, free))
    canvas.setFont(BOLD, SIZE)
    canvas.drawRightString(width - SIDE, y, right)


def within(text: str, font: str, size: float, width: float) -> str:
    """`text`, cut with an ellipsis to what fits `width`."""
    if stringWidth(text, font, size) <= width:
        return text
    kept = text
    while kept and stringWidth(kept + "…", font, size) > width:
        kept = kept[: max(len(kept) * 9 // 10, 0)] if len(kept) > 200 else kept[:-1]
    return kept + "…"


def number_of_pages(canvas: Any, right: float, y: float, reader: Reader) -> None:
    """Draw “page n of m”, ending at `right`."""
    text = say(reader, "page {number} of {total}", number=canvas.getPageNumber(), total=TOTAL)
    before, _, after = text.partition(TOTAL)
    start = right - stringWidth(f"000{after}", BODY, SIZE)
    canvas.setFont(BODY, SIZE)
    canvas.drawRightString(start, y, before)
    canvas.drawRightString(right, y, after)
    canvas.saveState()
    canvas.translate(start, y)
    canvas.doForm(TOTAL)
    canvas.restoreState()
