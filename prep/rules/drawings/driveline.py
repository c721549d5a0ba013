"""Picture of a driveline in one pose, from above and from the side, to scale.

The tractor looks to the left of the sheet. The halves differ in width, their overlap by a
darker tone; a joint's angle is drawn between its shaft's axis, dashed, and the tube. What a view
would foreshorten stands in the list of true sizes under the views.
"""

import math
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from prep.rules.drawings.captions import Words, fitted
from prep.rules.drawings.driveline_scene import Scene, View, scene_of
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
from prep.rules.drawings.shapes import text_width as width_of
from prep.rules.driveline.length import end_clearance, overlap
from prep.rules.driveline.pose import Geometry, Pose
from prep.rules.phrase import Value
from prep.rules.quantities.quantity import from_si, show
from prep.rules.quantities.quantity import unit as unit_called

WIDTH: Final = 180.0
LEFT, RIGHT = 6.0, 174.0
HEAD: Final = 34.0  # above a view: title, one row of labels, and the row of the view before
TALLEST: Final = 76.0  # mm of sheet for the machine in both views together
MARGIN: Final = 15.0  # between the machine and the labels; holds dimension lines
OFFSET: Final = 12.0  # of a dimension line from what it measures
SIZE: Final = 5.0  # of labels
GAP: Final = 4.0  # between labels
ARC: Final = 12.0  # radius of an angle's arc
OUTER, INNER = 2.1, 1.2  # half widths of the tubes

STEPS: Final = {
    "m": Fraction(1, 1000),
    "cm": Fraction(1, 10),
    "mm": Fraction(1),
    "in": Fraction(1, 16),
    "ft": Fraction(1, 100),
}


@dataclass(frozen=True)
class Halves:
    """Usable lengths in m of both halves from their yoke seats; the outer is at the tractor."""

    outer: float
    inner: float


@dataclass(frozen=True)
class _Label:
    """A caption over a number, tied to a mark in the view."""

    mark: Point
    caption: str
    number: str

    def width(self, size: float) -> float:
        return max(width_of(self.caption, size), width_of(self.number, size, bold=True))


def driveline_drawing(
    geometry: Geometry,
    pose: Pose,
    headline: str,
    unit: str,
    words: Words,
    halves: Halves | None = None,
) -> Drawing:
    """The driveline in `pose` under a headline that names it; lengths in the unit called `unit`."""
    scene = scene_of(geometry, pose)
    label = _Labels(unit, words)
    facts = _facts(pose, label, halves)
    above, from_left = _views(scene)
    shapes: list[Shape] = [
        _headline(headline),
        *(part for view in (above, from_left) for part in _driveline(scene, view, pose, halves)),
        *_seen_from_above(scene, above, geometry, pose, label),
        *_seen_from_left(scene, from_left, label),
    ]
    foot = _edge(scene, from_left, 1) + 22.0
    shapes += [
        fitted((LEFT, foot + 7.0 * row), fact, SIZE, RIGHT - LEFT) for row, fact in enumerate(facts)
    ]
    return Drawing(
        WIDTH,
        foot + 7.0 * len(facts) - 3.0,
        tuple(shapes),
        words.caption("driveline-title"),
        ". ".join((headline, *facts)) + ".",
    )


@dataclass(frozen=True)
class _Labels:
    """The words of the drawing, with its lengths in `unit`."""

    unit: str
    words: Words

    def length(self, meters: float) -> str:
        shown = unit_called(self.unit)
        text = show(from_si(meters, shown).value, shown, STEPS.get(self.unit))
        return self.words.number(text.replace("-", "−"))

    def degrees(self, angle: float) -> str:
        return self.words.number(f"{math.degrees(angle):.1f}°")

    def caption(self, code: str, **values: Value) -> str:
        return self.words.caption(code, **values)


def _facts(pose: Pose, label: _Labels, halves: Halves | None) -> list[str]:
    facts = [
        label.caption("tractor-joint-true-angle", angle=label.degrees(pose.tractor_angle)),
        label.caption("machine-joint-true-angle", angle=label.degrees(pose.machine_angle)),
        label.caption("between-yoke-seats", length=label.length(pose.span)),
    ]
    if halves:
        sits = overlap(halves.outer, halves.inner, pose.span)
        left = end_clearance(halves.outer, halves.inner, pose.span)
        facts.append(
            label.caption("halves-overlap", length=label.length(sits))
            if sits > 0
            else label.caption("halves-apart")
        )
        facts.append(
            label.caption("end-clearance", length=label.length(left))
            if left > 0
            else label.caption("half-bottoms")
        )
    return facts


def _headline(text: str) -> Text:
    room = RIGHT - LEFT
    size = 5.6 * room / max(width_of(text, 5.6, bold=True), room)
    return Text((LEFT, 7.0), text, size, bold=True)


def _views(scene: Scene) -> tuple[View, View]:
    """Both views at one scale, as large as the sheet allows, one below the other."""
    shown = scene.shown()
    ahead = [place[0] for place in shown]
    sides, heights = [place[1] for place in shown], [-place[2] for place in shown]
    tallest = sum(max(drops) - min(drops) for drops in (sides, heights))
    room = RIGHT - LEFT - 2 * OFFSET
    scale = min(room / (max(ahead) - min(ahead)), TALLEST / tallest)
    left = (LEFT + RIGHT) / 2 + scale * (max(ahead) + min(ahead)) / 2
    above = View(1, 1.0, scale, left, HEAD + MARGIN - min(sides) * scale)
    start = _edge(scene, above, 1) + HEAD
    return above, View(2, -1.0, scale, left, start + MARGIN - min(heights) * scale)


def _edge(scene: Scene, view: View, way: int) -> float:
    """Sheet position of the view's upper (-1) or lower (1) edge, room for dimensions included."""
    return way * (max(way * view.point(place)[1] for place in scene.shown()) + MARGIN)


def _seen_from_above(
    scene: Scene, view: View, geometry: Geometry, pose: Pose, label: _Labels
) -> Iterator[Shape]:
    hitch, pto, tongue = map(view.point, (scene.hitch, scene.pto_end, scene.tongue_end))
    way = -1 if view.drop(scene.machine_joint) >= 0 else 1  # the side the machine is not on
    across = (tongue[1] - hitch[1], hitch[0] - tongue[0])
    off = math.copysign(OFFSET / math.hypot(*across), across[1] * way)
    if pose.turn > 0:
        title = label.caption("from-above-left-turn")
    elif pose.turn < 0:
        title = label.caption("from-above-right-turn")
    else:
        title = label.caption("from-above-no-turn")
    yield _title(scene, view, title)
    drawbar = yield from _dimension(pto, hitch, (0.0, OFFSET * way))
    machine = yield from _dimension(hitch, tongue, (across[0] * off, across[1] * off))
    lengths = [
        _Label(drawbar, label.caption("pto-to-hitch-pin"), label.length(geometry.pto_ahead)),
        _Label(machine, label.caption("hitch-pin-to-input"), label.length(scene.input_behind)),
    ]
    angles = yield from _angles(scene, view, label)
    yield from _row(lengths, _edge(scene, view, way), way)
    yield from _row(angles, _edge(scene, view, -way), -way)


def _seen_from_left(scene: Scene, view: View, label: _Labels) -> Iterator[Shape]:
    yield _title(scene, view, label.caption("from-left"))
    hitch, pto, tip = map(view.point, (scene.hitch, scene.pto_end, scene.input_end))
    yield Line(hitch, (tip[0] + OFFSET, hitch[1]), 0.25, Ink.DARK, (2.0, 1.2))
    rows = []
    for codes, place, end, off in (
        (("pto-above-hitch", "pto-below-hitch"), scene.pto_end, pto, -OFFSET),
        (("input-above-hitch", "input-below-hitch"), scene.input_end, tip, OFFSET),
    ):
        mark = yield from _dimension((end[0], hitch[1]), end, (off, 0.0))
        above, below = codes
        caption = label.caption(above if place[2] >= 0 else below)
        rows.append(_Label(mark, caption, label.length(abs(place[2]))))
    angles = yield from _angles(scene, view, label)
    yield from _row(angles, _edge(scene, view, -1), -1)
    yield from _row(rows, _edge(scene, view, 1), 1)


def _title(scene: Scene, view: View, text: str) -> Text:
    return fitted((LEFT, _edge(scene, view, -1) - 15.5), text, SIZE, RIGHT - LEFT)


def _machine(scene: Scene, view: View) -> Iterator[Shape]:
    """Tractor, drawbar, tongue, gearbox and both shafts."""
    for outline in (scene.tractor_box[view.axis - 1], scene.gearbox[view.axis - 1]):
        yield Polygon(tuple(map(view.point, outline)), Ink.PALE, 0.3)
    hitch = view.point(scene.hitch)
    yield Line((view.point(scene.tractor_box[0][0])[0], hitch[1]), hitch, 1.2, Ink.GRAY)
    yield Line(hitch, view.point(scene.tongue_end), 1.2, Ink.GRAY)
    stub = view.point(scene.pto_end)
    yield Line((view.point(scene.tractor_box[0][0])[0], stub[1]), stub, 1.8)
    yield Line(stub, view.point(scene.tractor_joint), 1.0)
    yield Line(view.point(scene.machine_joint), view.point(scene.input_end), 1.0)


def _hitch_pin(x: float, y: float) -> Iterator[Shape]:
    yield Circle((x, y), 1.6, Ink.PAPER, 0.5)
    yield Line((x - 1.6, y), (x + 1.6, y), 0.3)
    yield Line((x, y - 1.6), (x, y + 1.6), 0.3)


def _driveline(scene: Scene, view: View, pose: Pose, halves: Halves | None) -> Iterator[Shape]:
    """The machine with the driveline on it; the hitch pin shows through what covers it."""
    yield from _machine(scene, view)
    yield from _tubes(scene, view, pose, halves)
    yield from _hitch_pin(*view.point(scene.hitch))


def _tubes(scene: Scene, view: View, pose: Pose, halves: Halves | None) -> Iterator[Shape]:
    """Yokes, joints and telescoping tubes; lengths along the tube are shares of the span."""
    start, end = view.point(scene.tractor_seat), view.point(scene.machine_seat)
    for joint, seat in ((scene.tractor_joint, start), (scene.machine_joint, end)):
        yield Line(view.point(joint), seat, 2.4)
    outer = 0.5 if halves is None else min(halves.outer / pose.span, 1.0)
    inner = 0.5 if halves is None else min(halves.inner / pose.span, 1.0)
    yield _strip(start, end, 0.0, outer, OUTER, Ink.PAPER)
    yield _strip(start, end, 1.0 - inner, 1.0, INNER, Ink.PALE)
    if outer + inner > 1.0:
        yield _strip(start, end, 1.0 - inner, outer, INNER, Ink.GRAY)
    for joint in (scene.tractor_joint, scene.machine_joint):
        yield Circle(view.point(joint), 1.9, Ink.PAPER, 0.6)
        yield Circle(view.point(joint), 0.6, Ink.BLACK)


def _strip(start: Point, end: Point, first: float, last: float, half: float, fill: Ink) -> Polygon:
    """Part of the way from `start` to `end` as a band."""
    x, y = end[0] - start[0], end[1] - start[1]
    across = (-y / math.hypot(x, y) * half, x / math.hypot(x, y) * half)
    corners = ((first, 1), (last, 1), (last, -1), (first, -1))
    return Polygon(
        tuple(
            (start[0] + x * share + across[0] * side, start[1] + y * share + across[1] * side)
            for share, side in corners
        ),
        fill,
        0.3,
    )


def _angles(scene: Scene, view: View, label: _Labels) -> Generator[Shape, None, list[_Label]]:
    """Arcs between each shaft's axis, drawn on as a dashed line, and the tube."""
    tractor, machine = view.point(scene.tractor_joint), view.point(scene.machine_joint)
    axis = view.point(scene.machine_axis)
    tube = math.atan2(machine[1] - tractor[1], machine[0] - tractor[0])
    shaft = math.atan2(axis[1] - machine[1], axis[0] - machine[0])
    labels = []
    for code, joint, first, last, dashed in (
        ("tractor-joint", tractor, 0.0, tube, 0.0),
        ("machine-joint", machine, tube, shaft, tube),
    ):
        bend = math.remainder(last - first, 2 * math.pi)
        yield Line(joint, _polar(joint, dashed, ARC + 5.0), 0.25, Ink.BLACK, (2.5, 0.8, 0.6, 0.8))
        arc = tuple(_polar(joint, first + bend * step / 12, ARC) for step in range(13))
        yield Polyline(arc, 0.35)
        labels.append(_Label(arc[6], label.caption(code), label.degrees(abs(bend))))
    return labels


def _polar(center: Point, angle: float, radius: float) -> Point:
    return center[0] + radius * math.cos(angle), center[1] + radius * math.sin(angle)


def _dimension(start: Point, end: Point, off: Point) -> Generator[Shape, None, Point]:
    """A dimension line moved off what it measures; returns its middle."""
    first, last = (start[0] + off[0], start[1] + off[1]), (end[0] + off[0], end[1] + off[1])
    yield Line(start, first, 0.2, Ink.DARK)
    yield Line(end, last, 0.2, Ink.DARK)
    yield Line(first, last, 0.3)
    for x, y in (first, last):
        yield Line((x - 1.0, y + 1.0), (x + 1.0, y - 1.0), 0.5)
    return (first[0] + last[0]) / 2, (first[1] + last[1]) / 2


def _row(labels: list[_Label], edge: float, way: int) -> Iterator[Shape]:
    """Labels side by side beyond an edge of a view, in the order of their marks.

    They are all made smaller where a language's captions would not fit between the margins.
    """
    caption = edge - 8.5 if way < 0 else edge + 4.5
    ordered = sorted(labels, key=lambda label: label.mark[0])
    room = RIGHT - LEFT - GAP * (len(ordered) - 1)
    size = min(SIZE, SIZE * room / sum(label.width(SIZE) for label in ordered))
    for label, middle in zip(ordered, _apart(ordered, size), strict=True):
        foot = caption + 1.3 * SIZE + 1.0 if way < 0 else caption - SIZE
        yield Line((middle, foot), label.mark, 0.2, Ink.DARK)
        yield Circle(label.mark, 0.5, Ink.DARK, ink=None)
        yield Text((middle, caption), label.caption, size, "middle")
        yield Text((middle, caption + 1.3 * SIZE), label.number, size, "middle", bold=True)


def _apart(labels: list[_Label], size: float) -> list[float]:
    """Middles as near their marks as the labels fit between the margins without touching."""
    placed: list[float] = []
    edge = LEFT
    for label in labels:
        placed.append(max(label.mark[0], edge + label.width(size) / 2))
        edge = placed[-1] + label.width(size) / 2 + GAP
    edge = RIGHT
    for index in reversed(range(len(labels))):
        placed[index] = min(placed[index], edge - labels[index].width(size) / 2)
        edge = placed[index] - labels[index].width(size) / 2 - GAP
    return placed
