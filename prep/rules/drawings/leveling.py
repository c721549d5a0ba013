"""Pictures of a deck's pitch, from the side, and of its wings, from behind.

Differences of height are drawn larger than they are; the hatched bar is where the tip should be.
"""

from collections.abc import Iterator
from typing import Final

from prep.rules.deck.leveling import HeightFinding, RodTurns
from prep.rules.drawings.captions import Show, Words, column, fitted
from prep.rules.drawings.shapes import (
    WORDS,
    Anchor,
    Drawing,
    Ink,
    Line,
    Point,
    Polygon,
    Shape,
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


def pitch_drawing(
    front: float,
    rear: float,
    least_lower: float,
    most_lower: float,
    finding: HeightFinding,
    show: Show,
    words: Words,
) -> Drawing:
    """The deck from its right side, traveling to the right; heights in m.

    `finding` is what leveling.pitch found for the same heights and window.
    """
    scale = GREATEST / max(abs(finding.difference), abs(least_lower), abs(most_lower), 1e-6)
    tip = STEADY + scale * finding.difference
    wanted = (STEADY + scale * least_lower, STEADY + scale * most_lower)
    wanted_lower = words.caption("wanted-lower", least=show(least_lower), most=show(most_lower))
    lines = [
        words.caption("pitch-finding", finding=words.term(finding.finding)),
        f"{_front_tip(finding.difference, show, words)} {wanted_lower}",
        _advice_line(finding, show, words),
    ]
    shapes = (
        *_floor(),
        *_deck((42.0, STEADY), (110.0, tip)),
        *_window(116.0, *wanted),
        _level_line(42.0, 29.0, STEADY),
        _level_line(110.0, 129.0, tip),
        *_height(30.0, STEADY, words.caption("rear-tip"), show(rear), -1),
        *_height(128.0, tip, words.caption("front-tip"), show(front), 1),
        *_rod(76.0, 34.0, finding.rod, words),
        *_legend(words.caption("front-tip-window"), words, 91.0),
        fitted((126.0, 91.0), words.caption("travel"), WORDS, 30.0, "end"),
        *_arrow((129.0, 89.5), (147.0, 89.5)),
    )
    return _under_words(lines, shapes, 101.0, words.caption("pitch-title"))


def wing_drawing(
    center: float,
    left: float,
    right: float,
    tolerance: float,
    findings: tuple[HeightFinding, HeightFinding],
    show: Show,
    words: Words,
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
        words.caption(
            "wing-findings", left=words.term(on_left.finding), right=words.term(on_right.finding)
        ),
        words.caption("left-wing-advice", advice=_advice_line(on_left, show, words)),
        words.caption("right-wing-advice", advice=_advice_line(on_right, show, words)),
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
        *_under(30.0, words.caption("left-wing"), show(left)),
        *_under(80.0, words.caption("center"), show(center)),
        *_under(130.0, words.caption("right-wing"), show(right)),
        *_legend(words.caption("wing-tip-window"), words, 102.0),
        fitted((RIGHT, 102.0), words.caption("seen-from-behind"), WORDS, 50.0, "end"),
    )
    return _under_words(lines, shapes, 112.0, words.caption("wings-title"))


def _under_words(lines: list[str], shapes: tuple[Shape, ...], height: float, title: str) -> Drawing:
    """The picture lowered as far as the words above it need."""
    texts = list(column((LEFT, 7.0), lines, WORDS, ROOM))
    by = texts[-1].at[1] + 4.0 - TOP
    picture = (*texts, *(lowered(shape, by) for shape in shapes))
    return Drawing(WIDTH, height + by, picture, title, " ".join(lines))


def _front_tip(difference: float, show: Show, words: Words) -> str:
    if not difference:
        return words.caption("tips-level")
    if difference > 0:
        return words.caption("front-tip-lower", difference=show(difference))
    return words.caption("front-tip-higher", difference=show(-difference))


def _advice_line(finding: HeightFinding, show: Show, words: Words) -> str:
    if finding.rod is None or finding.rod.advice is None:
        return words.caption("nothing-to-turn")
    return words.advice(finding.rod.advice, show)


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


def _rod(x: float, y: float, rod: RodTurns | None, words: Words) -> Iterator[Shape]:
    """A rod with its body, arrows apart when it grows and together when it shrinks."""
    if rod is None:
        return
    yield Line((x - 24.0, y), (x + 24.0, y), 0.8)
    yield rectangle(x - 9.0, y - 1.6, x + 9.0, y + 1.6, Ink.PAPER, Ink.BLACK)
    for side in (-1, 1):
        near, far = (x + side * 26.0, y), (x + side * 36.0, y)
        yield from _arrow(near, far) if rod.becomes == "longer" else _arrow(far, near)
    turns = words.number(f"{rod.turns:.2f}".rstrip("0").rstrip("."))
    if rod.becomes == "longer":
        caption = words.caption("turns-longer", turns=turns)
    else:
        caption = words.caption("turns-shorter", turns=turns)
    yield fitted((x, y - 4.0), caption, WORDS, 2 * (x - LEFT), "middle", bold=True)


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


def _legend(window: str, words: Words, y: float) -> Iterator[Shape]:
    yield from hatch(LEFT, y - 3.0, LEFT + 7.0, y + 0.4, 1.2)
    yield rectangle(LEFT, y - 3.0, LEFT + 7.0, y + 0.4, None, Ink.BLACK)
    yield fitted((LEFT + 9.0, y), window, WORDS, ROOM - 60.0)
    yield fitted((LEFT, y + 7.0), words.caption("heights-not-to-scale"), WORDS, ROOM)
