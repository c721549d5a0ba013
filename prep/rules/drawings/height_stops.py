"""Picture of the lift cylinder with the stop segments that belong on its rod."""

from collections.abc import Iterator
from typing import Final

from prep.rules.deck.cutting_height import StopChoice
from prep.rules.drawings.captions import Show, Words, column, fitted
from prep.rules.drawings.shapes import (
    WORDS,
    Circle,
    Drawing,
    Ink,
    Line,
    Shape,
    Text,
    hatch,
    rectangle,
)

WIDTH: Final = 160.0
LEFT, RIGHT = 5.0, 155.0
BARREL_END: Final = 45.0
ROD_END: Final = 140.0  # the bare rod is drawn from the barrel to here
ROD_HALF, SEGMENT_HALF, BARREL_HALF = 1.8, 6.0, 7.5
LINE: Final = WORDS


def stops_drawing(
    wanted: float,
    choice: StopChoice,
    thicknesses: tuple[float, ...],
    rod_space: float,
    show: Show,
    words: Words,
) -> Drawing:
    """Segments of `choice` on a rod `rod_space` long, thicknesses in m and in the rule's order."""
    finding = words.caption(
        "height-finding",
        height=show(choice.best.height),
        wanted=show(wanted),
        finding=words.term(choice.finding),
    )
    moves = [words.advice(move, show) for move in choice.moves]
    lines = [finding, *(moves or [words.caption("nothing-to-move")])]
    texts = list(column((LEFT, 7.0), lines, LINE, RIGHT - LEFT))
    middle = texts[-1].at[1] + 16.0
    shapes = (
        *texts,
        *_cylinder(middle, words),
        *_segments(middle, choice, thicknesses, rod_space, show, words),
    )
    description = " ".join([*lines, _on_rod(choice, thicknesses, show, words)])
    return Drawing(WIDTH, middle + 30.0, shapes, words.caption("stops-title"), description)


def _on_rod(choice: StopChoice, thicknesses: tuple[float, ...], show: Show, words: Words) -> str:
    kinds = zip(choice.best.counts, thicknesses, strict=True)
    listed = ", ".join(f"{count} × {show(size)}" for count, size in kinds if count)
    return words.caption("on-rod", segments=listed or words.caption("no-segment"))


def _cylinder(y: float, words: Words) -> Iterator[Shape]:
    yield rectangle(LEFT, y - BARREL_HALF, BARREL_END, y + BARREL_HALF, Ink.PALE, Ink.BLACK)
    at = ((LEFT + BARREL_END) / 2, y + 1.6)
    yield fitted(at, words.caption("barrel"), WORDS, BARREL_END - LEFT - 2.0, "middle")
    yield rectangle(BARREL_END, y - ROD_HALF, ROD_END, y + ROD_HALF, Ink.PAPER, Ink.BLACK)
    yield rectangle(ROD_END, y - 4.0, ROD_END + 4.0, y + 4.0, Ink.PALE, Ink.BLACK)
    yield Circle((ROD_END + 7.0, y), 4.0, Ink.PALE)
    yield Circle((ROD_END + 7.0, y), 1.5, Ink.PAPER)


def _segments(
    y: float,
    choice: StopChoice,
    thicknesses: tuple[float, ...],
    rod_space: float,
    show: Show,
    words: Words,
) -> Iterator[Shape]:
    """Segments from the barrel outwards, the wide ones first, and a label for each kind."""
    scale = (ROD_END - BARREL_END) / max(rod_space, choice.best.stack, 1e-6)
    kinds = [
        (size, count)
        for size, count in sorted(zip(thicknesses, choice.best.counts, strict=True), reverse=True)
        if count
    ]
    if not kinds:
        at = ((BARREL_END + ROD_END) / 2, y + 15.0)
        yield Text(at, words.caption("no-segment"), WORDS, "middle", bold=True)
    slot = (RIGHT - LEFT) / max(len(kinds), 1)
    x = BARREL_END
    for position, (size, count) in enumerate(kinds):
        start = x
        for _ in range(count):
            yield from _segment(x, y, scale * size, position % 2 == 1)
            x += scale * size
        label = LEFT + slot * (position + 0.5)
        yield Line(((start + x) / 2, y + SEGMENT_HALF), (label, y + 17.5), 0.25, Ink.DARK)
        yield fitted(
            (label, y + 22.5), f"{count} × {show(size)}", WORDS, slot - 3, "middle", bold=True
        )


def _segment(x: float, y: float, width: float, hatched: bool) -> Iterator[Shape]:
    yield rectangle(x, y - SEGMENT_HALF, x + width, y + SEGMENT_HALF, Ink.PAPER)
    if hatched:
        yield from hatch(x, y - SEGMENT_HALF, x + width, y + SEGMENT_HALF)
    yield rectangle(x, y - SEGMENT_HALF, x + width, y + SEGMENT_HALF, None, Ink.BLACK)
