"""Words on a drawing: shrunk to their room, wrapped to their column, and an advice read out."""

from collections.abc import Callable, Iterator

from prep.rules.catalog.advice import Advice
from prep.rules.drawings.shapes import Anchor, Point, Text, text_width

Show = Callable[[float], str]  # a length in m, shown in the unit the person typed


def fitted(
    at: Point, words: str, size: float, room: float, anchor: Anchor = "start", bold: bool = False
) -> Text:
    """One line of text, smaller than `size` only when it would not fit into `room`."""
    return Text(
        at, words, min(size, size * room / text_width(words, size, bold)), anchor, bold=bold
    )


def column(at: Point, lines: list[str], size: float, room: float) -> Iterator[Text]:
    """Lines under each other, each wrapped at spaces to `room`; the first one bold."""
    x, y = at
    for number, line in enumerate(lines):
        for part in _wrapped(line, size, room):
            yield fitted((x, y), part, size, room, bold=number == 0)
            y += 1.4 * size


def read_out(advice: Advice, show: Show) -> str:
    """The advice as a sentence; a pure number is shown to two decimals."""
    amount = number(advice.amount) if advice.unit == "1" else show(advice.amount)
    return advice.do.format(amount=amount) + "."


def number(value: float) -> str:
    """A number to two decimals without trailing zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _wrapped(line: str, size: float, room: float) -> list[str]:
    parts: list[str] = []
    for word in line.split():
        if parts and text_width(f"{parts[-1]} {word}", size, bold=True) <= room:
            parts[-1] += f" {word}"
        else:
            parts.append(word)
    return parts
