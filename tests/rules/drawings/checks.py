"""Checks any drawing can be held to: nothing runs off the sheet, no two texts touch."""

from itertools import combinations

from prep.rules.drawings.shapes import Circle, Drawing, Line, Point, Shape, Text, text_width
from prep.words.reader import ENGLISH
from prep.words.rules.drawings import DrawingWords

WORDS = DrawingWords(ENGLISH)

Box = tuple[float, float, float, float]


def texts(drawing: Drawing) -> list[str]:
    """The words on a drawing, in painting order."""
    return [shape.text for shape in drawing.shapes if isinstance(shape, Text)]


def box(shape: Shape) -> Box:
    """Left, top, right and bottom of a shape, strokes not counted."""
    if isinstance(shape, Text):
        width = text_width(shape.text, shape.size, shape.bold)
        left = shape.at[0] - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor]
        baseline = shape.at[1]
        return left, baseline - 0.76 * shape.size, left + width, baseline + 0.24 * shape.size
    if isinstance(shape, Circle):
        (x, y), radius = shape.center, shape.radius
        return x - radius, y - radius, x + radius, y + radius
    points: tuple[Point, ...] = (
        (shape.start, shape.end) if isinstance(shape, Line) else shape.points
    )
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def running_off(drawing: Drawing) -> list[Shape]:
    """Shapes that leave the sheet by more than a hundredth of a millimeter."""
    room = 0.01
    return [
        shape
        for shape in drawing.shapes
        for left, top, right, bottom in [box(shape)]
        if left < -room
        or top < -room
        or right > drawing.width + room
        or bottom > drawing.height + room
    ]


def touching_texts(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes overlap."""
    texts = [shape for shape in drawing.shapes if isinstance(shape, Text)]
    return [(one.text, other.text) for one, other in combinations(texts, 2) if _overlap(one, other)]


def _overlap(one: Text, other: Text) -> bool:
    left, top, right, bottom = box(one)
    other_left, other_top, other_right, other_bottom = box(other)
    return left < other_right and other_left < right and top < other_bottom and other_top < bottom
