"""Explanatory drawings and photographs in a document."""

import io
from typing import Any, Final

from django.utils.translation import gettext_noop as _
from PIL import Image as Pillow
from PIL import ImageOps
from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, Paragraph

from prep.rules.drawings.shapes import (
    Circle,
    Drawing,
    Ink,
    Line,
    Point,
    Polygon,
    Polyline,
    Shape,
    Text,
)
from prep.words.reader import Reader, say
from reports.pdf.typeface import BODY, BOLD, CENTERED, plain, printable

PIXELS: Final = 900  # longest side of a photograph in a document; the bundle has it whole
LARGEST_PHOTO: Final = 80_000_000  # pixels; a picture that claims more is not opened
MISSING: Final = _("The file of this photo is missing.")
TOO_LARGE: Final = _("This photo is too large to show.")
DAMAGED: Final = _("This photo cannot be read.")
FORMATS: Final = ("JPEG", "PNG", "WEBP")


class Picture(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A drawing `width` points wide, to scale."""

    def __init__(self, drawing: Drawing, width: float) -> None:
        super().__init__()
        self.drawing = drawing
        self.scale = width / (drawing.width * mm)
        self.width, self.height = width, drawing.height * mm * self.scale

    def wrap(self, *_: Any) -> tuple[float, float]:
        """Its size, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw every shape in painting order."""
        canvas = self.canv
        canvas.saveState()
        canvas.scale(self.scale, self.scale)
        canvas.setLineJoin(1)
        for shape in self.drawing.shapes:
            _draw(canvas, shape, self.drawing.height)
        canvas.restoreState()


def _draw(canvas: Any, shape: Shape, height: float) -> None:
    """One shape; the drawing's y grows downwards, the page's upwards."""

    def at(point: Point) -> tuple[float, float]:
        return point[0] * mm, (height - point[1]) * mm

    match shape:
        case Line(start, end):
            _pen(canvas, shape.width, shape.ink, shape.dash)
            canvas.line(*at(start), *at(end))
        case Polyline(points):
            _pen(canvas, shape.width, shape.ink, shape.dash)
            canvas.drawPath(_path(canvas, [at(point) for point in points]), stroke=1, fill=0)
        case Polygon(points, fill):
            path = _path(canvas, [at(point) for point in points])
            path.close()
            _pen(canvas, shape.width, shape.ink, (), fill)
            canvas.drawPath(path, stroke=bool(shape.ink), fill=bool(fill))
        case Circle(center, radius, fill):
            _pen(canvas, shape.width, shape.ink, (), fill)
            canvas.circle(*at(center), radius * mm, stroke=bool(shape.ink), fill=bool(fill))
        case Text():
            _write(canvas, shape, *at(shape.at))


def _pen(
    canvas: Any, width: float, ink: Ink | None, dash: tuple[float, ...], fill: Ink | None = None
) -> None:
    canvas.setLineWidth(width * mm)
    canvas.setDash([length * mm for length in dash])
    if ink:
        canvas.setStrokeColor(ink.value)
    if fill:
        canvas.setFillColor(fill.value)


def _path(canvas: Any, points: list[tuple[float, float]]) -> Any:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    return path


def _write(canvas: Any, shape: Text, x: float, y: float) -> None:
    font, size, text = BOLD if shape.bold else BODY, shape.size * mm, printable(shape.text)
    width = stringWidth(text, font, size)
    shift = {"start": 0.0, "middle": width / 2, "end": width}[shape.anchor]
    canvas.setFillColor(shape.ink.value)
    canvas.setFont(font, size)
    canvas.drawString(x - shift, y, text)


class Photograph(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A photograph fitted into a box, or the box with the words why it cannot be shown."""

    def __init__(self, content: bytes | None, width: float, height: float, reader: Reader) -> None:
        super().__init__()
        self.width, self.height = width, height
        self.picture, why = thumbnail(content)
        self.why = Paragraph(plain(say(reader, why)), CENTERED)

    def wrap(self, *_: Any) -> tuple[float, float]:
        """The box's size, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the photograph in the middle of its box, or the reason it is missing."""
        if self.picture is None:
            self.canv.setLineWidth(0.5)
            self.canv.rect(0, 0, self.width, self.height, stroke=1, fill=0)
            _, up = self.why.wrapOn(self.canv, self.width - 8, self.height)
            self.why.drawOn(self.canv, 4, (self.height - up) / 2)
            return
        across, up = self.picture.getSize()
        scale = min(self.width / across, self.height / up)
        wide, high = across * scale, up * scale
        left, bottom = (self.width - wide) / 2, (self.height - high) / 2
        self.canv.drawImage(self.picture, left, bottom, wide, high)


def thumbnail(content: bytes | None) -> tuple[ImageReader | None, str]:
    """A photograph small enough for a document, or None and the reason, a text to be said."""
    if content is None:
        return None, MISSING
    try:
        with Pillow.open(io.BytesIO(content), formats=FORMATS) as opened:
            if opened.width * opened.height > LARGEST_PHOTO:
                return None, TOO_LARGE
            opened.draft("RGB", (PIXELS, PIXELS))
            upright = ImageOps.exif_transpose(opened)
            upright.thumbnail((PIXELS, PIXELS))
            flat = upright.convert("RGB")
    except Pillow.DecompressionBombError:
        return None, TOO_LARGE
    # A damaged file can fail in any part of the decoder, by any exception it knows.
    except Exception:
        return None, DAMAGED
    target = io.BytesIO()
    flat.save(target, "JPEG", quality=82)
    target.seek(0)
    return ImageReader(target), ""
