"""Picture of a reading on its number line, with tolerance, guard bands and uncertainty.

The darker a zone, the worse: blank conforms, hatched conforms inside the guard band, cross-hatched
does not conform inside the guard band, gray does not conform. A reading too far off to be drawn
to scale stands beyond a broken axis.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from prep.rules.conformity.judgment import AtLimits, Interval, Judgment, Verdict
from prep.rules.drawings.captions import Words, fitted
from prep.rules.drawings.shapes import (
    WORDS,
    Circle,
    Drawing,
    Ink,
    Line,
    Point,
    Polygon,
    Shape,
    Text,
    hatch,
    rectangle,
    text_width,
)
from prep.rules.quantities.quantity import Measured, Unit

WIDTH: Final = 160.0
LEFT, RIGHT = 5.0, 155.0
FAR_STRIP: Final = 56.0  # room beyond a broken axis; holds the widest uncertainty bar
READING_LABEL, BAR, TOP, BOTTOM, LABELS, LEGEND = 30.0, 37.0, 40.0, 50.0, 62.0, 78.0
LEGEND_ROW: Final = 7.0
GAP: Final = 2.5  # between neighboring labels
MOST_TYPED: Final = 6  # digits of a number that somebody typed

Zone = tuple[Fraction | None, Fraction | None, Verdict]


@dataclass(frozen=True)
class _Axis:
    """Stretch of the number line drawn to scale, and the side on which the reading is too far."""

    start: Fraction
    end: Fraction
    broken: str = ""

    @property
    def left(self) -> float:
        return LEFT + FAR_STRIP if self.broken == "low" else LEFT

    @property
    def right(self) -> float:
        return RIGHT - FAR_STRIP if self.broken == "high" else RIGHT

    def length(self, span: Fraction) -> float:
        return float(span / (self.end - self.start)) * (self.right - self.left)

    def place(self, value: Fraction) -> float:
        return self.left + self.length(value - self.start)

    def reading(self, value: Fraction) -> float:
        if self.broken:
            return (LEFT + self.left if self.broken == "low" else self.right + RIGHT) / 2
        return self.place(value)


@dataclass(frozen=True)
class _Label:
    """Words under a mark on the axis."""

    mark: float
    caption: str
    number: str

    def width(self, size: float) -> float:
        return max(text_width(self.caption, size), text_width(self.number, size, bold=True))


def reading_drawing(
    reading: Measured,
    judgment: Judgment,
    expanded_uncertainty: Fraction,
    typed: Unit,
    words: Words,
) -> Drawing:
    """A reading drawn among its limits in the unit that was typed.

    Judgment and uncertainty are in the reading's unit, whichever that is.
    """

    def in_typed(value: Fraction | None) -> Fraction | None:
        return None if value is None else Measured(value, reading.unit).in_unit(typed)

    scale = reading.unit.factor / typed.factor
    interval, bands = judgment.interval, judgment.guard_bands
    converted = replace(
        judgment,
        interval=Interval(in_typed(interval.low), in_typed(interval.high)),
        guard_bands=AtLimits(bands.low * scale, bands.high * scale),
    )
    expanded = expanded_uncertainty * scale
    return guard_band_drawing(reading.in_unit(typed), converted, expanded, typed.symbol, words)


def guard_band_drawing(
    value: Fraction,
    judgment: Judgment,
    expanded_uncertainty: Fraction,
    unit: str,
    words: Words,
) -> Drawing:
    """The reading among its limits; all numbers in `unit`, `judgment` as judge() gave it."""
    interval = judgment.interval
    axis = _axis(value, interval, judgment.guard_bands.widest, expanded_uncertainty)
    zones = _zones(interval, judgment)
    headlines = _headlines(judgment, words)
    exact = _exact(value, expanded_uncertainty)
    number = words.number(f"{exact}{_spread(expanded_uncertainty)}")
    reading = f"{number} {unit}".strip()
    shapes = (
        *_heading(headlines),
        *_band(axis, zones),
        *_marks(axis, interval, judgment),
        *_labels(_label_list(axis, interval, judgment, expanded_uncertainty, words)),
        *_reading(axis, value, expanded_uncertainty, reading),
        *_legend([zone[2] for zone in zones], words),
    )
    limits = _limits(interval, expanded_uncertainty, unit, words)
    description = " ".join((f"{reading}.", *headlines, *limits))
    height = LEGEND + LEGEND_ROW * len({zone[2] for zone in zones}) - 4.0
    return Drawing(WIDTH, height, shapes, words.caption("reading-title"), description)


def _axis(value: Fraction, interval: Interval, guard: Fraction, expanded: Fraction) -> _Axis:
    limits = [limit for limit in (interval.low, interval.high) if limit is not None]
    margin = max(2 * guard, 2 * expanded, (limits[-1] - limits[0]) / 5)
    if margin == 0:
        margin = max(interval.distance(value) * 5 / 4, abs(limits[0]) / 10) or Fraction(1)
    start, end = limits[0] - margin, limits[-1] + margin
    reach = end - start
    lowest, highest = value - expanded, value + expanded
    if lowest < start - reach:
        return _Axis(start, end, "low")
    if highest > end + reach:
        return _Axis(start, end, "high")
    if lowest < start:
        start = lowest - reach / 20
    if highest > end:
        end = highest + reach / 20
    return _Axis(start, end)


def _zones(interval: Interval, judgment: Judgment) -> list[Zone]:
    """Stretches of the number line by the verdict a reading there gets; empty ones left out."""
    low, high, bands = interval.low, interval.high, judgment.guard_bands
    accepted = judgment.acceptance
    zones: list[Zone] = []
    if low is not None:
        zones.append((None, low - bands.low, Verdict.NONCONFORMING))
        zones.append((low - bands.low, low, Verdict.NONCONFORMING_GUARD))
    if accepted is None:
        zones.append((low, high, Verdict.CONFORMING_GUARD))
    else:
        if low is not None:
            zones.append((low, accepted.low, Verdict.CONFORMING_GUARD))
        zones.append((accepted.low, accepted.high, Verdict.CONFORMING))
        if high is not None:
            zones.append((accepted.high, high, Verdict.CONFORMING_GUARD))
    if high is not None:
        zones.append((high, high + bands.high, Verdict.NONCONFORMING_GUARD))
        zones.append((high + bands.high, None, Verdict.NONCONFORMING))
    return [zone for zone in zones if zone[0] is None or zone[0] != zone[1]]


def _band(axis: _Axis, zones: list[Zone]) -> Iterator[Shape]:
    for start, end, verdict in zones:
        left = LEFT if start is None else min(max(axis.place(start), axis.left), axis.right)
        right = RIGHT if end is None else min(max(axis.place(end), axis.left), axis.right)
        if left < right:
            yield from _fill(left, TOP, right, BOTTOM, verdict)
    yield Line((LEFT, BOTTOM), (RIGHT, BOTTOM), 0.5)
    yield Line((LEFT, TOP), (RIGHT, TOP), 0.2)
    if axis.broken:
        at = axis.left if axis.broken == "low" else axis.right
        corners: tuple[Point, ...] = (
            (at - 2.4, BOTTOM + 1.5),
            (at - 0.4, TOP - 1.5),
            (at + 2.4, TOP - 1.5),
            (at + 0.4, BOTTOM + 1.5),
        )
        yield Polygon(corners, Ink.PAPER, ink=None)
        yield Line(corners[0], corners[1], 0.5)
        yield Line(corners[3], corners[2], 0.5)


def _fill(
    left: float, top: float, right: float, bottom: float, verdict: Verdict
) -> Iterator[Shape]:
    if verdict is Verdict.NONCONFORMING:
        yield rectangle(left, top, right, bottom, Ink.GRAY)
    if verdict in (Verdict.CONFORMING_GUARD, Verdict.NONCONFORMING_GUARD):
        yield from hatch(left, top, right, bottom)
    if verdict is Verdict.NONCONFORMING_GUARD:
        yield from hatch(left, top, right, bottom, falling=True)


def _marks(axis: _Axis, interval: Interval, judgment: Judgment) -> Iterator[Shape]:
    for limit in (interval.low, interval.high):
        if limit is not None:
            x = axis.place(limit)
            yield Line((x, TOP - 1.5), (x, BOTTOM + 1.5), 0.8)
    if judgment.guard_bands.widest and judgment.acceptance is not None:
        for limit in (judgment.acceptance.low, judgment.acceptance.high):
            if limit is not None:
                x = axis.place(limit)
                yield Line((x, TOP), (x, BOTTOM + 1.5), 0.4, dash=(1.2, 0.8))


def _label_list(
    axis: _Axis, interval: Interval, judgment: Judgment, expanded: Fraction, words: Words
) -> list[_Label]:
    marks = []
    if interval.low is not None:
        marks.append(("lower-limit", interval.low, _exact(interval.low, expanded)))
    if judgment.guard_bands.widest and judgment.acceptance is not None:
        low, high = judgment.acceptance.low, judgment.acceptance.high
        if low is not None:
            marks.append(("accepted-from", low, _rounded(low, expanded, math.ceil)))
        if high is not None:
            marks.append(("accepted-to", high, _rounded(high, expanded, math.floor)))
    if interval.high is not None:
        marks.append(("upper-limit", interval.high, _exact(interval.high, expanded)))
    return [
        _Label(axis.place(at), words.caption(code), words.number(number))
        for code, at, number in marks
    ]


def _labels(labels: list[_Label]) -> Iterator[Shape]:
    """Labels in the order of their marks, side by side, each tied to its mark."""
    room = RIGHT - LEFT - GAP * (len(labels) - 1)
    size = min(WORDS, WORDS * room / sum(label.width(WORDS) for label in labels))
    widths = [label.width(size) for label in labels]
    for label, middle in zip(labels, _apart([one.mark for one in labels], widths), strict=True):
        yield Line((label.mark, BOTTOM + 1.5), (middle, LABELS - size), 0.2, Ink.DARK)
        yield Text((middle, LABELS), label.caption, size, "middle")
        yield Text((middle, LABELS + 1.3 * size), label.number, size, "middle", bold=True)


def _apart(wanted: list[float], widths: list[float]) -> list[float]:
    """Middles as near the wanted ones as labels in that order fit between the margins."""
    placed: list[float] = []
    edge = LEFT
    for middle, width in zip(wanted, widths, strict=True):
        placed.append(max(middle, edge + width / 2))
        edge = placed[-1] + width / 2 + GAP
    edge = RIGHT
    for index in reversed(range(len(placed))):
        placed[index] = min(placed[index], edge - widths[index] / 2)
        edge = placed[index] - widths[index] / 2 - GAP
    return placed


def _reading(axis: _Axis, value: Fraction, expanded: Fraction, text: str) -> Iterator[Shape]:
    x, half = axis.reading(value), axis.length(expanded)
    yield Line((x, BAR), (x, BOTTOM), 0.4, dash=(0.8, 0.8))
    yield Line((x - half, BAR), (x + half, BAR), 0.6)
    for end in (x - half, x + half):
        yield Line((end, BAR - 1.2), (end, BAR + 1.2), 0.6)
    yield Circle((x, BAR), 1.2, Ink.BLACK, ink=None)
    (middle,) = _apart([x], [text_width(text, WORDS, bold=True)])
    yield Text((middle, READING_LABEL), text, WORDS, "middle", bold=True)
    yield Line((middle, READING_LABEL + 1.6), (x, BAR - 1.2), 0.2, Ink.DARK)


def _heading(headlines: list[str]) -> Iterator[Shape]:
    for number, line in enumerate(headlines):
        yield fitted((LEFT, 7.0 + 7.0 * number), line, WORDS, RIGHT - LEFT, bold=number == 0)


def _legend(verdicts: list[Verdict], words: Words) -> Iterator[Shape]:
    shown = [verdict for verdict in Verdict if verdict in verdicts]
    for row, verdict in enumerate(shown):
        y = LEGEND + LEGEND_ROW * row
        yield from _fill(LEFT, y - 4.0, LEFT + 9.0, y + 0.6, verdict)
        yield rectangle(LEFT, y - 4.0, LEFT + 9.0, y + 0.6, None, Ink.BLACK)
        yield fitted((LEFT + 12.0, y), words.verdict(verdict), WORDS, RIGHT - LEFT - 12.0)


def _headlines(judgment: Judgment, words: Words) -> list[str]:
    probability = judgment.probability
    if probability > 0.9995:
        chance = words.caption("probability-above", probability=words.number("0.999"))
    elif probability < 0.0005:
        chance = words.caption("probability-below", probability=words.number("0.001"))
    else:
        chance = words.caption("probability", probability=words.number(f"{probability:.3f}"))
    verdict = words.verdict(judgment.verdict)
    lines = [f"{verdict[:1].upper()}{verdict[1:]}.", chance]
    if not judgment.decidable:
        lines.append(words.caption("cannot-decide"))
    return lines


def _spread(expanded: Fraction) -> str:
    return f" ± {_rounded(expanded, expanded, math.ceil)}" if expanded else ""


def _limits(interval: Interval, expanded: Fraction, unit: str, words: Words) -> Iterator[str]:
    """The limits as sentences."""
    for code, limit in (("lower-limit-is", interval.low), ("upper-limit-is", interval.high)):
        if limit is not None:
            number = words.number(_exact(limit, expanded))
            yield words.caption(code, limit=f"{number} {unit}".strip())


def _exact(value: Fraction, expanded: Fraction) -> str:
    """A number as it is; one of many digits, which was converted, to the uncertainty's place."""
    text = f"{float(value):.9g}"
    if expanded and Fraction(f"{float(value):.{MOST_TYPED}g}") != Fraction(text):
        return _rounded(value, expanded)
    return text.replace("-", "−")


def _rounded(value: Fraction, expanded: Fraction, to: Callable[[Fraction], int] = round) -> str:
    """A computed number to the place of the uncertainty's second digit (JCGM 100:2008, 7.2.6).

    `to` is floor or ceil where a number must not look better than it is.
    """
    places = min(max(1 - math.floor(math.log10(expanded)), 0), 9)
    return f"{to(value * 10**places) / 10**places:.{places}f}".replace("-", "−")
