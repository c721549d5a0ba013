"""Words on a drawing: where they come from, shrunk to their room, wrapped to their column.

A drawing names its words by code. Whoever asks for it hands over the words of its reader's
language; `prep.words.rules.drawings` has them.
"""

from collections.abc import Callable, Iterator
from typing import Protocol

from prep.rules.catalog.advice import Advice
from prep.rules.drawings.shapes import Anchor, Point, Text, text_width
from prep.rules.phrase import Phrase, Value

Show = Callable[[float], str]  # a length in m, shown in the unit the person typed


class Words(Protocol):
    """The words of a drawing in its reader's language and number style."""

    def caption(self, code: str, **values: Value) -> str:
        """A caption with its values."""

    def term(self, token: str) -> str:
        """The word of a finding or another token."""

    def verdict(self, verdict: str) -> str:
        """The word of a verdict."""

    def pose(self, pose: tuple[Phrase, ...]) -> str:
        """A pose of tractor and machine."""

    def advice(self, advice: Advice, show: Show) -> str:
        """An advice as a sentence, its length as `show` shows it."""

    def number(self, text: str) -> str:
        """A number's text in the reader's number style."""


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


def _wrapped(line: str, size: float, room: float) -> list[str]:
    parts: list[str] = []
    for word in line.split():
        if parts and text_width(f"{parts[-1]} {word}", size, bold=True) <= room:
            parts[-1] += f" {word}"
        else:
            parts.append(word)
    return parts
