"""Small explanatory drawings: one list of shapes, rendered to SVG here and to PDF elsewhere.

Lengths are millimeters, y grows downwards, the baseline of a text is at its point. Texts are
`WORDS` high or more, so that a sheet shrunk to the 360 pixels of a phone can be read. Inks are few
and differ in lightness, so that a black-and-white print says the same; no drawing may tell two
things apart by ink alone: use a dash, a hatch, a shape or a word as well.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from html import escape
from math import isfinite
from typing import Final, Literal
from unicodedata import category

WORDS: Final = 4.6  # em of a text on a sheet up to 180 wide: 9 pixels or more on a phone

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Ink(StrEnum):
    """What a drawing is printed with."""

    BLACK = "#000000"
    DARK = "#404040"
    GRAY = "#808080"
    PALE = "#dcdcdc"
    PAPER = "#ffffff"
    RED = "#a31515"
    BLUE = "#1f4e8c"


@dataclass(frozen=True)
class Line:
    """A straight stroke."""

    start: Point
    end: Point
    width: float = 0.35
    ink: Ink = Ink.BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Polyline:
    """An open stroke through several points."""

    points: tuple[Point, ...]
    width: float = 0.35
    ink: Ink = Ink.BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Polygon:
    """A closed area; without fill only its outline, without ink only its area."""

    points: tuple[Point, ...]
    fill: Ink | None = None
    width: float = 0.35
    ink: Ink | None = Ink.BLACK


@dataclass(frozen=True)
class Circle:
    """A circle; without fill only its outline, without ink only its area."""

    center: Point
    radius: float
    fill: Ink | None = None
    width: float = 0.35
    ink: Ink | None = Ink.BLACK


@dataclass(frozen=True)
class Text:
    """One line of text; `size` is the height of its em."""

    at: Point
    text: str
    size: float = WORDS
    anchor: Anchor = "start"
    bold: bool = False
    ink: Ink = Ink.BLACK


Shape = Line | Polyline | Polygon | Circle | Text


@dataclass(frozen=True)
class Drawing:
    """Shapes in painting order on a sheet of `width` by `height`.

    `title` names the drawing, `description` says in words what it shows.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    description: str


def rectangle(
    left: float, top: float, right: float, bottom: float, fill: Ink | None, ink: Ink | None = None
) -> Polygon:
    """An upright rectangle."""
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Polygon(corners, fill, ink=ink)


def lowered(shape: Shape, by: float) -> Shape:
    """The shape further down the sheet."""
    match shape:
        case Line((x, y), (to_x, to_y)):
            return replace(shape, start=(x, y + by), end=(to_x, to_y + by))
        case Polyline(points) | Polygon(points):
            return replace(shape, points=tuple((x, y + by) for x, y in points))
        case Circle((x, y)):
            return replace(shape, center=(x, y + by))
        case Text((x, y)):
            return replace(shape, at=(x, y + by))


def hatch(
    left: float,
    top: float,
    right: float,
    bottom: float,
    spacing: float = 1.6,
    falling: bool = False,
) -> Iterator[Line]:
    """Slanted strokes that fill a rectangle; rising to the right, or falling.

    The strokes lie on one grid over the whole sheet, so that neighbors join.
    """
    height = bottom - top
    offset = spacing * (left // spacing) - spacing * (height // spacing + 1)
    while offset < right:
        near, far = max(offset, left), min(offset + height, right)
        if near < far:
            high, low = (near - offset, far - offset)
            if falling:
                yield Line((near, top + high), (far, top + low), 0.2, Ink.DARK)
            else:
                yield Line((near, bottom - high), (far, bottom - low), 0.2, Ink.DARK)
        offset += spacing


_NARROW = frozenset("iIjl.,:;|'!()[]/ ftr·-")
_WIDE = frozenset("mwMW%@±×+=—…")


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Room a line of text needs in any common sans-serif face, rather too much than too little."""
    ems = sum(0.42 if c in _NARROW else 0.98 if c in _WIDE else 0.65 for c in text)
    return ems * size * (1.1 if bold else 1.0)


def to_svg(drawing: Drawing) -> str:
    """The drawing as one SVG element, with a name and description for screen readers.

    The same drawing gives the same text. ValueError when a coordinate is not a finite number.
    """
    width, height = _number(drawing.width), _number(drawing.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}"'
        ' font-family="DejaVu Sans, Verdana, Arial, sans-serif">',
        f"<title>{_text(drawing.title)}</title>",
        f"<desc>{_text(drawing.description)}</desc>",
        *(_element(shape) for shape in drawing.shapes),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _element(shape: Shape) -> str:
    match shape:
        case Line(start, end):
            ends = f'x1="{_number(start[0])}" y1="{_number(start[1])}" x2="{_number(end[0])}"'
            return f'<line {ends} y2="{_number(end[1])}"{_stroke(shape)}/>'
        case Polyline(points):
            return f'<polyline points="{_points(points)}" fill="none"{_stroke(shape)}/>'
        case Polygon(points, fill):
            return f'<polygon points="{_points(points)}" fill="{fill or "none"}"{_stroke(shape)}/>'
        case Circle((x, y), radius, fill):
            place = f'cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}"'
            return f'<circle {place} fill="{fill or "none"}"{_stroke(shape)}/>'
        case Text((x, y), text, size, anchor, bold, ink):
            place = f'x="{_number(x)}" y="{_number(y)}" font-size="{_number(size)}"'
            weight = ' font-weight="bold"' if bold else ""
            looks = f' text-anchor="{anchor}" fill="{ink}"{weight}'
            return f"<text {place}{looks}>{_text(text)}</text>"


def _stroke(shape: Line | Polyline | Polygon | Circle) -> str:
    if shape.ink is None:
        return ""
    dash = shape.dash if isinstance(shape, Line | Polyline) else ()
    dashes = f' stroke-dasharray="{" ".join(map(_number, dash))}"' if dash else ""
    joins = ' stroke-linejoin="round"' if isinstance(shape, Polyline | Polygon) else ""
    return f' stroke="{shape.ink}" stroke-width="{_number(shape.width)}"{dashes}{joins}'


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    """A length to the micrometer, without trailing zeros and without a minus before 0."""
    if not isfinite(value):
        raise ValueError("A drawing has a coordinate that is not a finite number.")
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def _text(text: str) -> str:
    """Escaped text; characters no XML document may hold are shown as replaced."""
    return escape("".join("\N{REPLACEMENT CHARACTER}" if _illegal(c) else c for c in text))


def _illegal(character: str) -> bool:
    return category(character) in {"Cc", "Cs"} or character in "\ufffe\uffff"
