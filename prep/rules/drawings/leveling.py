"""Pictures of a deck's pitch, from the side, and of its wings, from behind.

Differences of height are drawn larger than they are; the hatched bar is where the tip should be.
"""

from collections.abc import Iterator
from typing import Final

from prep.rules.deck.leveling import HeightFinding, RodTurns
from prep.rules.drawings.captions import Show, column, fitted, number, read_out
from prep.rules.drawings.shapes import (
    WORDS,
    Anchor,
    Drawing,
    Ink,
    Line,
    Point,
    Polygon,
    Shape,
    Text,
    hatch,
    lowered,
    rectangle,
)

WIDTH: Final = 160.0
LEFT, RIGHT = 5.0, 155.0
ROOM: Final = RIGHT - LEFT
FLOOR: Final = 80.0
STEADY: Final = 59.0  # where the tip is drawn that the other one is compared with
GREATEST: Final = 12.0  # a difference is drawn no larger than this
THICK: Final = 5.0  # of the deck
TIP: Final = 4.0  # of the blade's tip below the deck
TOP: Final = 22.0  # of what is drawn before it is lowered under the words

NOT_TO_SCALE: Final = "Differences of height are drawn larger than they are."


def pitch_drawing(
    front: float,
    rear: float,
    least_lower: float,
    most_lower: float,
    finding: HeightFinding,
    show: Show,
) -> Drawing:
    """The deck from its right side, traveling to the right; heights in m.

    `finding` is what leveling.pitch found for the same heights and window.
    """
    scale = GREATEST / max(abs(finding.difference), abs(least_lower), abs(most_lower), 1e-6)
    tip = STEADY + scale * finding.difference
    wanted = (STEADY + scale * least_lower, STEADY + scale * most_lower)
    lines = [
        f"Pitch: {finding.finding}.",
        f"The front tip is {_than(finding.difference, show)} the rear tip; wanted: "
        f"{show(least_lower)} to {show(most_lower)} lower.",
        *_advice_lines(finding, show),
    ]
    shapes = (
        *_floor(),
        *_deck((42.0, STEADY), (110.0, tip)),
        *_window(116.0, *wanted),
        _level_line(42.0, 29.0, STEADY),
        _level_line(110.0, 129.0, tip),
        *_height(30.0, STEADY, "rear tip", show(rear), -1),
        *_height(128.0, tip, "front tip", show(front), 1),
        *_rod(76.0, 34.0, finding.rod),
        *_legend("where the front tip should be", 91.0),
        Text((126.0, 91.0), "travel", WORDS, "end"),
        *_arrow((129.0, 89.5), (147.0, 89.5)),
    )
    return _under_words(lines, shapes, 101.0, "Pitch of the deck, side view")


def wing_drawing(
    center: float,
    left: float,
    right: float,
    tolerance: float,
    findings: tuple[HeightFinding, HeightFinding],
    show: Show,
) -> Drawing:
    """The deck from behind, left wing on the left; heights in m.

    `findings` is what leveling.wing found for the left and for the right wing.
    """
    on_left, on_right = findings
    largest = max(abs(on_left.difference), abs(on_right.difference), tolerance, 1e-6)
    scale = GREATEST / largest
    outer = [STEADY - scale * finding.difference for finding in findings]
    allowed = (STEADY - scale * tolerance, STEADY + scale * tolerance)
    lines = [
        f"Left {on_left.finding}; right {on_right.finding}.".replace("wing ", "wing is "),
        *(f"Left wing: {line}" for line in _advice_lines(on_left, show)),
        *(f"Right wing: {line}" for line in _advice_lines(on_right, show)),
    ]
    shapes = (
        *_floor(),
        *_deck((62.0, STEADY), (98.0, STEADY)),
        *_deck((18.0, outer[0]), (58.0, STEADY)),
        *_deck((102.0, STEADY), (142.0, outer[1])),
        *_window(6.0, *allowed),
        *_window(149.0, *allowed),
        _level_line(18.0, 5.0, outer[0]),
        _level_line(142.0, 155.0, outer[1]),
        *_under(30.0, "left wing", show(left)),
        *_under(80.0, "center", show(center)),
        *_under(130.0, "right wing", show(right)),
        *_legend("where the wing's outer tip may be", 102.0),
        Text((RIGHT, 102.0), "seen from behind", WORDS, "end"),
    )
    return _under_words(lines, shapes, 112.0, "Wings against the center, seen from behind")


def _under_words(lines: list[str], shapes: tuple[Shape, ...], height: float, title: str) -> Drawing:
    """The picture lowered as far as the words above it need."""
    words = list(column((LEFT, 7.0), lines, WORDS, ROOM))
    by = words[-1].at[1] + 4.0 - TOP
    picture = (*words, *(lowered(shape, by) for shape in shapes))
    return Drawing(WIDTH, height + by, picture, title, " ".join(lines))


def _than(difference: float, show: Show) -> str:
    if not difference:
        return "as high as"
    return f"{show(abs(difference))} {'lower' if difference > 0 else 'higher'} than"


def _advice_lines(finding: HeightFinding, show: Show) -> list[str]:
    if finding.rod is None or finding.rod.advice is None:
        return ["Nothing to turn."]
    return [read_out(finding.rod.advice, show)]


def _floor() -> Iterator[Shape]:
    yield Line((LEFT, FLOOR), (RIGHT, FLOOR), 0.6)
    yield from hatch(LEFT, FLOOR, RIGHT, FLOOR + 2.0)


def _deck(start: Point, end: Point) -> Iterator[Shape]:
    """A slab from left to right with a blade's tip under each end; the points are the tips."""
    (left, low), (right, high) = start, end
    yield Polygon(
        (
            (left - 3.0, low - TIP - THICK),
            (right + 3.0, high - TIP - THICK),
            (right + 3.0, high - TIP),
            (left - 3.0, low - TIP),
        ),
        Ink.PALE,
    )
    for x, y in (start, end):
        yield Polygon(((x - 1.6, y - TIP), (x + 1.6, y - TIP), (x, y)), Ink.BLACK, ink=None)


def _window(left: float, top: float, bottom: float) -> Iterator[Shape]:
    """Hatched bar from `top` to `bottom`, at least as thick as a stroke."""
    bottom = max(bottom, top + 0.6)
    yield from hatch(left, top, left + 5.0, bottom, 1.2)
    yield rectangle(left, top, left + 5.0, bottom, None, Ink.BLACK)


def _level_line(start: float, end: float, y: float) -> Line:
    """Dashes that carry a tip's height over to where it is read."""
    return Line((start, y), (end, y), 0.25, dash=(1.0, 0.8))


def _height(x: float, tip: float, caption: str, height: str, side: int) -> Iterator[Shape]:
    """A dimension line from the floor to a tip, its words left (-1) or right (1) of it."""
    middle = (tip + FLOOR) / 2
    yield from _arrow((x, middle), (x, tip))
    yield from _arrow((x, middle), (x, FLOOR))
    outer = x + side * 3.0
    anchor: Anchor = "start" if side > 0 else "end"
    room = RIGHT - outer if side > 0 else outer - LEFT
    yield fitted((outer, middle - 1.0), caption, WORDS, room, anchor)
    yield fitted((outer, middle + 4.8), height, WORDS, room, anchor, bold=True)


def _under(x: float, caption: str, height: str) -> Iterator[Shape]:
    yield fitted((x, FLOOR + 7.5), caption, WORDS, 45.0, "middle")
    yield fitted((x, FLOOR + 13.5), height, WORDS, 45.0, "middle", bold=True)


def _rod(x: float, y: float, rod: RodTurns | None) -> Iterator[Shape]:
    """A rod with its body, arrows apart when it grows and together when it shrinks."""
    if rod is None:
        return
    yield Line((x - 24.0, y), (x + 24.0, y), 0.8)
    yield rectangle(x - 9.0, y - 1.6, x + 9.0, y + 1.6, Ink.PAPER, Ink.BLACK)
    for side in (-1, 1):
        near, far = (x + side * 26.0, y), (x + side * 36.0, y)
        yield from _arrow(near, far) if rod.becomes == "longer" else _arrow(far, near)
    yield Text((x, y - 4.0), f"{number(rod.turns)} turns {rod.becomes}", WORDS, "middle", bold=True)


def _arrow(start: Point, end: Point) -> Iterator[Shape]:
    """A level or upright arrow."""
    (x, y), (to_x, to_y) = start, end
    length = max(abs(to_x - x) + abs(to_y - y), 1e-9)
    ahead = ((to_x - x) / length, (to_y - y) / length)
    back = (to_x - 2.0 * ahead[0], to_y - 2.0 * ahead[1])
    yield Line(start, back, 0.35)
    yield Polygon(
        (
            end,
            (back[0] - 0.9 * ahead[1], back[1] + 0.9 * ahead[0]),
            (back[0] + 0.9 * ahead[1], back[1] - 0.9 * ahead[0]),
        ),
        Ink.BLACK,
        ink=None,
    )


def _legend(words: str, y: float) -> Iterator[Shape]:
    yield from hatch(LEFT, y - 3.0, LEFT + 7.0, y + 0.4, 1.2)
    yield rectangle(LEFT, y - 3.0, LEFT + 7.0, y + 0.4, None, Ink.BLACK)
    yield Text((LEFT + 9.0, y), words, WORDS)
    yield Text((LEFT, y + 7.0), NOT_TO_SCALE, WORDS)
