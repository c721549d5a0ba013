"""The picture of a box's readings: order, marks and limits. House drawing, no published source."""

from fractions import Fraction
from xml.etree import ElementTree

import pytest

from prep.rules.conformity.judgment import Interval
from prep.rules.drawings.shapes import Circle, Line, Polyline, Text, to_svg
from prep.rules.drawings.trend import LEFT, MOST, RIGHT, WIDTH, Taken, trend_drawing
from tests.rules.drawings.checks import WORDS

LIMITS = Interval(Fraction(180), Fraction(220))
HIGH = Taken(Fraction(240), "240 ft lb", "nonconforming")
GOOD = Taken(Fraction(200), "200 ft lb", "conforming")
NEAR = Taken(Fraction(219), "219 ft lb", "conforming-guarded")


def test_readings_go_from_left_to_right_and_larger_ones_lie_higher() -> None:
    """240 above the upper limit, 200 in the middle between the limits."""
    drawing = trend_drawing([HIGH, GOOD], LIMITS, "ft·lbf", WORDS)
    (line,) = [shape for shape in drawing.shapes if isinstance(shape, Polyline)]
    (x1, y1), (x2, y2) = line.points
    ends = sorted(s.start[1] for s in drawing.shapes if isinstance(s, Line) and s.start[0] == LEFT)
    assert x1 < x2
    assert y1 < ends[0] < y2 < ends[1]
    assert y2 == pytest.approx((ends[0] + ends[1]) / 2)
    assert drawing.description == (
        "240 ft lb, out of limit (nonconforming); 200 ft lb, in limit (conforming)."
    )


def test_verdicts_differ_in_shape() -> None:
    """A cross, a filled dot, an open dot: a black-and-white print says the same."""
    drawing = trend_drawing([HIGH, GOOD, NEAR], LIMITS, "ft·lbf", WORDS)
    dots = [shape for shape in drawing.shapes if isinstance(shape, Circle)]
    assert [dot.fill for dot in dots] == ["#000000", "#ffffff"]
    crossed = [
        s
        for s in drawing.shapes
        if isinstance(s, Line) and s.start[0] != LEFT and s.start[1] != s.end[1]
    ]
    assert len(crossed) == 2


@pytest.mark.parametrize("interval", [None, LIMITS, Interval(Fraction(180), None)])
@pytest.mark.parametrize("count", [1, 2, MOST, MOST + 5])
def test_however_many_readings_and_limits_everything_lies_on_the_sheet(
    interval: Interval | None, count: int
) -> None:
    """The last ones are shown; equal values do no harm."""
    taken = [GOOD] * (count - 1) + [Taken(Fraction(200), "199 3/4 foot pounds", "no-limit")]
    drawing = trend_drawing(taken, interval, "ft·lbf", WORDS)
    (line,) = [shape for shape in drawing.shapes if isinstance(shape, Polyline)]
    assert len(line.points) == min(count, MOST)
    assert all(LEFT <= x <= RIGHT and 0 <= y <= drawing.height for x, y in line.points)
    assert all(s.at[0] < WIDTH for s in drawing.shapes if isinstance(s, Text))
    ElementTree.fromstring(to_svg(drawing))
