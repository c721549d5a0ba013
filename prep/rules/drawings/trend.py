"""Picture of the readings one box has had, in their order, against the limits of the last one.

Narrow, so that it can be read on a phone. A filled dot conforms, an open one lies inside the guard
band, a cross does not conform, a dash was held against no limit.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from prep.rules.conformity.judgment import Interval, Verdict
from prep.rules.drawings.captions import Words, fitted
from prep.rules.drawings.shapes import Circle, Drawing, Ink, Line, Point, Polyline, Shape, rectangle
from prep.rules.quantities.quantity import decimal_text

WIDTH: Final = 90.0
HEIGHT: Final = 46.0
LEFT, RIGHT = 4.0, 66.0
TOP, BOTTOM = 8.0, 34.0
NAMES: Final = 44.0  # what was typed, under the marks
MOST: Final = 6  # readings shown; the last ones
SIZE: Final = 3.6
MARK: Final = 1.3

Ends = tuple[Fraction | None, Fraction | None]  # lower and upper limit

INSIDE_GUARD: Final = frozenset({Verdict.CONFORMING_GUARD, Verdict.NONCONFORMING_GUARD})


@dataclass(frozen=True)
class Taken:
    """One reading: its value in the drawing's unit, as it was typed, and its verdict."""

    value: Fraction
    typed: str
    verdict: str


def trend_drawing(
    taken: Sequence[Taken], interval: Interval | None, unit: str, words: Words
) -> Drawing:
    """The last readings of a box from left to right; values and limits in `unit`."""
    shown = taken[-MOST:]
    ends = (interval.low, interval.high) if interval else (None, None)
    heights = _heights(shown, ends)
    step = (RIGHT - LEFT) / len(shown)
    places = [
        (LEFT + step * (number + 0.5), heights[reading.value])
        for number, reading in enumerate(shown)
    ]
    shapes = (
        *_limits(ends, heights, unit, words),
        Polyline(tuple(places), 0.4, Ink.DARK),
        *(s for at, reading in zip(places, shown, strict=True) for s in _mark(at, reading.verdict)),
        *(
            fitted((x, NAMES), reading.typed, SIZE, step, "middle", bold=number == len(shown) - 1)
            for number, ((x, _), reading) in enumerate(zip(places, shown, strict=True))
        ),
    )
    values = "; ".join(f"{reading.typed}, {words.verdict(reading.verdict)}" for reading in shown)
    return Drawing(WIDTH, HEIGHT, shapes, words.caption("trend-title"), f"{values}.")


def _heights(shown: Sequence[Taken], ends: Ends) -> dict[Fraction, float]:
    """Where each value and limit lies on the sheet, the largest on top."""
    values = {reading.value for reading in shown}
    values |= {end for end in ends if end is not None}
    low, high = min(values), max(values)
    span = high - low or Fraction(1)
    return {value: BOTTOM - float((value - low) / span) * (BOTTOM - TOP) for value in values}


def _limits(ends: Ends, heights: dict[Fraction, float], unit: str, words: Words) -> Iterator[Shape]:
    low, high = ends
    if low is not None or high is not None:
        top = TOP - 5.0 if high is None else heights[high]
        bottom = BOTTOM + 3.0 if low is None else heights[low]
        yield rectangle(LEFT, top, RIGHT, bottom, Ink.PALE)
    for end, code in ((high, "at-most"), (low, "at-least")):
        if end is not None:
            y = heights[end]
            text = words.caption(code, limit=f"{words.number(decimal_text(end, 4))} {unit}")
            yield Line((LEFT, y), (RIGHT, y), 0.6)
            yield fitted((RIGHT + 1.0, y + 1.2), text, SIZE, WIDTH - RIGHT - 2.0)


def _mark(at: Point, verdict: str) -> Iterator[Shape]:
    x, y = at
    if verdict == Verdict.CONFORMING:
        yield Circle(at, MARK, Ink.BLACK)
    elif verdict in INSIDE_GUARD:
        yield Circle(at, MARK, Ink.PAPER, 0.5)
    elif verdict == Verdict.NONCONFORMING:
        yield Line((x - MARK, y - MARK), (x + MARK, y + MARK), 0.7)
        yield Line((x - MARK, y + MARK), (x + MARK, y - MARK), 0.7)
    else:
        yield Line((x - MARK, y), (x + MARK, y), 0.9)
