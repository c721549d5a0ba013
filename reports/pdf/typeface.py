"""Typeface of documents, and the conversion of text to markup, which escapes and cuts it.

DejaVu Sans is embedded, so a document reads the same everywhere and for good. Text that people
typed is data: it is escaped here, and cut where it would drown a page.
"""

import unicodedata
from html import escape
from pathlib import Path
from typing import Final

import arabic_reshaper
from bidi import get_display
from reportlab import rl_config
from reportlab.lib.enums import TA_CENTER, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph

rl_config.useA85 = 0  # binary streams: a picture is copied, not spelt out in ASCII

BODY: Final = "DejaVuSansCondensed"
BOLD: Final = "DejaVuSansCondensed-Bold"
REPLACED: Final = "\N{REPLACEMENT CHARACTER}"
MOST: Final = 600  # characters of one text that are printed; the attached record holds them all
MOST_LARGE: Final = 160  # of one that is drawn large, which would push the rest off a first page
LAST_PLANE_0: Final = 0xFFFF  # what lies beyond it is pictures, which no two phones draw alike


def _registered() -> frozenset[int]:
    """Load the faces; returns the characters that every text face can draw."""
    folder = Path(__file__).parent / "fonts"
    for name in (BODY, BOLD):
        pdfmetrics.registerFont(TTFont(name, folder / f"{name}.ttf"))
    pdfmetrics.registerFontFamily(BODY, normal=BODY, bold=BOLD, italic=BODY, boldItalic=BOLD)
    faces = (pdfmetrics.getFont(name).face.charToGlyph for name in (BODY, BOLD))
    return frozenset(set.intersection(*(set(face) for face in faces)))


_DRAWABLE: Final = _registered()
_UNSEEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})  # controls, formats, halves, private


def drawable(text: str) -> str:
    """`text` composed, with each character that cannot be drawn shown as replaced.

    Formatting characters count as not drawable: one that reverses a text must not hide in it.
    """
    if text.isascii() and text.isprintable():
        return text  # nearly every text, and nothing to do for it
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\t", " "))
    return "".join(c if c == "\n" or _drawable(c) else REPLACED for c in composed)


def printable(text: str) -> str:
    """`text` as it is drawn from left to right: Hebrew and Arabic turned round, letters joined.

    Each line of it by the Unicode bidirectional algorithm (UAX #9). Where a long one is wrapped
    afterwards, its lines of right-to-left script stand in the wrong order: names do not wrap.
    """
    return "\n".join(map(_from_left, drawable(text).split("\n")))


def _from_left(line: str) -> str:
    if line.isascii() or not any(unicodedata.bidirectional(c) in {"R", "AL"} for c in line):
        return line
    return str(get_display(arabic_reshaper.reshape(line), base_dir="L"))


def _drawable(character: str) -> bool:
    code = ord(character)
    seen = unicodedata.category(character) not in _UNSEEN
    return seen and code <= LAST_PLANE_0 and code in _DRAWABLE


def cut(text: str, most: int = MOST) -> str:
    """`text`, or its beginning and how many more characters there are, in no language."""
    return text if len(text) <= most else f"{text[:most]} … (+{len(text) - most})"


def plain(text: str, most: int = MOST) -> str:
    """Text as markup that draws exactly this text and nothing else."""
    return escape(printable(cut(text, most)), quote=False).replace("\n", "<br/>")


def bold(text: str, most: int = MOST) -> str:
    """Markup of a text in bold."""
    return f"<b>{plain(text, most)}</b>"


def joined(*markup: str, by: str = "<br/>") -> str:
    """Pieces of markup one under the other, empty ones left out."""
    return by.join(piece for piece in markup if piece)


def small(markup: str) -> str:
    """Markup in the small size of remarks."""
    return f'<font size="6.8">{markup}</font>' if markup else ""


def _style(name: str, size: float, leading: float, **more: object) -> ParagraphStyle:
    style = {"fontName": BODY, "fontSize": size, "leading": leading, "splitLongWords": 1, **more}
    return ParagraphStyle(name, **style)


TEXT: Final = _style("text", 9, 12)
CELL: Final = _style("cell", 8, 9.8)
LABEL: Final = _style("label", 7.4, 9.4, textColor="#404040")
NOTE: Final = _style("note", 7.2, 9.4)
CODE: Final = _style("code", 6.8, 8.8)
HEAD: Final = _style("head", 7.4, 9.2, fontName=BOLD)
SECTION: Final = _style("section", 12, 15, fontName=BOLD, spaceBefore=9, spaceAfter=3)
TITLE: Final = _style("title", 19, 23, fontName=BOLD)
LARGE: Final = _style("large", 13, 16.5, fontName=BOLD)
FIGURE: Final = _style("figure", 17, 20, fontName=BOLD, alignment=TA_CENTER)
CENTERED: Final = _style("centered", 7.4, 9.2, alignment=TA_CENTER)
RIGHT: Final = _style("right", 8, 9.8, alignment=TA_RIGHT)


def fitted(text: str, width: float, largest: float, smallest: float) -> Paragraph:
    """A text in bold as large as fits one line, wrapped where even the smallest does not."""
    shown = printable(cut(text, MOST_LARGE)).replace("\n", " ")
    at_one = pdfmetrics.stringWidth(shown, BOLD, 1) or 1
    size = max(min(largest, (width - 1) / at_one), smallest)
    style = _style("fitted", size, size * 1.18, fontName=BOLD)
    return Paragraph(escape(shown, quote=False), style)
