"""Who issues a document: logo, dealership and yard, and the lines under their names."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from PIL import Image as Pillow
from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from reports.pdf.parts import PADDING
from reports.pdf.typeface import CELL, NOTE, bold, plain

TALLEST: Final = 14 * mm
WIDEST: Final = 34 * mm
GAP: Final = 3 * mm


@dataclass(frozen=True)
class Issuer:
    """A dealership's yard as a document names it; `logo` is the picture's content, if any."""

    dealer: str
    site: str
    lines: Sequence[str] = ()
    logo: bytes | None = None


class Logo(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A logo on white, no larger than it may be."""

    def __init__(self, content: bytes) -> None:
        super().__init__()
        self.picture = _on_white(content)
        across, up = self.picture.getSize()
        scale = min(WIDEST / across, TALLEST / up)
        self.width, self.height = across * scale, up * scale

    def wrap(self, *_: Any) -> tuple[float, float]:
        """Its size, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it."""
        self.canv.drawImage(self.picture, 0, 0, self.width, self.height)


def issued_by(issuer: Issuer, width: float) -> list[Flowable]:
    """The issuer, with its logo on the left where it has one."""
    named = f"{bold(issuer.dealer)} · {plain(issuer.site)}"
    lines = [Paragraph(named, CELL), *(Paragraph(plain(line), NOTE) for line in issuer.lines)]
    if issuer.logo is None:
        return lines
    logo = Logo(issuer.logo)
    table = Table([[logo, lines]], [logo.width + GAP, width - logo.width - GAP])
    flush = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    table.setStyle(TableStyle([*PADDING, *flush, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")]))
    return [table]


def _on_white(content: bytes) -> ImageReader:
    """A kept logo, whose see-through parts no printer is to guess at."""
    with Pillow.open(io.BytesIO(content), formats=("PNG",)) as opened:
        whole = opened.convert("RGBA")
    white = Pillow.new("RGB", whole.size, "white")
    white.paste(whole, mask=whole.getchannel("A"))
    target = io.BytesIO()
    white.save(target, "PNG")
    target.seek(0)
    return ImageReader(target)
