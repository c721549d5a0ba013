"""The pictures of pitch and wings say what was found and what to turn, and stay readable."""

from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.deck.leveling import pitch, wing
from prep.rules.drawings.leveling import pitch_drawing, wing_drawing
from prep.rules.drawings.shapes import Drawing, Line, Polygon, to_svg
from tests.rules.drawings.checks import WORDS, box, running_off, texts, touching_texts

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
FLOOR = 80.0


def inches(meters: float) -> str:
    return f"{meters / INCH:.4g} in"


def side(front: float, rear: float, least: float = 0.75, most: float = 1.25) -> Drawing:
    """A deck on two opposite-threaded rods; all in inches."""
    heights = (front * INCH, rear * INCH, least * INCH, most * INCH)
    finding = pitch(*heights, INCH / 8, "opposite", 0.5, "raises", "right", 2)
    return pitch_drawing(*heights, finding, inches, WORDS)


def behind(center: float, left: float, right: float, tolerance: float = 0.25) -> Drawing:
    """Two wings on single-threaded rods; all in inches."""
    on_left, on_right = (
        wing(center * INCH, one * INCH, tolerance * INCH, INCH / 8, "one", 1.0, "raises", "left")
        for one in (left, right)
    )
    heights = (center * INCH, left * INCH, right * INCH, tolerance * INCH)
    return wing_drawing(*heights, (on_left, on_right), inches, WORDS)


def tips(drawing: Drawing) -> list[float]:
    """How high above the floor each blade tip is drawn, from left to right."""
    points = [
        max(shape.points, key=lambda point: point[1])
        for shape in drawing.shapes
        if isinstance(shape, Polygon) and shape.ink is None and len(shape.points) == 3
    ]
    (floor,) = {
        shape.start[1] for shape in drawing.shapes if isinstance(shape, Line) and shape.width == 0.6
    }
    return [floor - y for _, y in sorted(points) if y < floor - 0.001]


def test_a_level_deck_is_shown_with_both_heights_and_the_turns_it_needs() -> None:
    """1 in wanted, none found; 8 threads an inch, both ends, ratio a half: eight turns."""
    words = texts(side(3.0, 3.0))
    assert words[0] == "Pitch: front not low enough."
    joined = " ".join(words)
    assert "The front tip is as high as the rear tip. Wanted: 0.75 in to 1.25 in lower." in joined
    assert (
        "Shorten both rods: turn each 8 turns counterclockwise, "
        "seen from the end with the right-hand thread." in joined
    )
    assert words.count("3 in") == 2
    assert "8 turns shorter" in words


def test_a_deck_that_conforms_has_no_rod_to_turn() -> None:
    """3 in front, 4 in rear."""
    words = texts(side(3.0, 4.0))
    assert words[0] == "Pitch: in limit."
    assert "Nothing to turn." in words
    assert not any("turns" in line for line in words)


def test_the_front_is_drawn_on_the_side_of_the_rear_it_was_measured_on() -> None:
    """Higher, level and lower; the window is where the model wants the tip."""
    for front, sign in ((3.5, 1), (3.0, 0), (2.0, -1)):
        drawing = side(front, 3.0)
        lines = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.dash]
        rear_y, front_y = (line.start[1] for line in lines)
        assert (rear_y > front_y) - (rear_y < front_y) == sign


def test_the_wanted_bar_holds_the_tip_exactly_when_the_pitch_conforms() -> None:
    """Picture and finding agree, edges included."""
    for rear in (3.0, 3.75, 4.0, 4.25, 4.5):
        drawing = side(3.0, rear)
        (window,) = (
            box(shape)
            for shape in drawing.shapes
            if isinstance(shape, Polygon) and box(shape)[0] == 116.0
        )
        lines = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.dash]
        inside = window[1] - 0.01 <= lines[1].start[1] <= window[3] + 0.01
        assert inside == (texts(drawing)[0] == "Pitch: in limit.")


def test_wings_are_seen_from_behind_with_what_to_turn_for_each() -> None:
    """Left half an inch high, right three eighths low, an eighth a turn."""
    drawing = behind(3.0, 3.5, 2.625)
    words = texts(drawing)
    assert words[0] == "Left: wing high; right: wing low."
    joined = " ".join(words)
    assert "Left wing: Shorten the rod: turn it 4 turns clockwise" in joined
    assert "Right wing: Lengthen the rod: turn it 3 turns counterclockwise" in joined
    assert "seen from behind" in words
    for height in ("3.5 in", "3 in", "2.625 in"):
        assert height in words


def test_wings_level_with_the_center_need_nothing() -> None:
    """Both within a quarter of an inch."""
    words = texts(behind(3.0, 3.25, 2.75))
    assert words[0] == "Left: in limit; right: in limit."
    assert "Left wing: Nothing to turn." in words
    assert "Right wing: Nothing to turn." in words


def test_each_drawing_says_in_words_what_it_shows() -> None:
    """For who cannot see it, and that differences are enlarged for who can."""
    for drawing in (side(3.0, 3.0), behind(3.0, 3.5, 3.0)):
        assert "turn" in drawing.description
        assert "Differences in height are drawn larger than they are." in texts(drawing)
        assert to_svg(drawing).startswith("<svg")


@many
@given(st.floats(0.5, 30), st.floats(0.5, 30), st.floats(-0.5, 1), st.floats(0, 2))
def test_a_pitch_picture_is_readable_whatever_was_measured(
    front: float, rear: float, least: float, width: float
) -> None:
    """Nothing runs off the sheet, no text touches another."""
    drawing = side(front, rear, least, least + width)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []


@many
@given(st.floats(0.5, 30), st.floats(0.5, 30), st.floats(0.5, 30), st.floats(0, 1))
def test_a_wing_picture_is_readable_whatever_was_measured(
    center: float, left: float, right: float, tolerance: float
) -> None:
    """Nothing runs off the sheet, no text touches another, and higher is drawn higher."""
    drawing = behind(center, left, right, tolerance)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []
    drawn = tips(drawing)
    assert len(drawn) == 6
    assert (drawn[0] > drawn[2]) == (round((left - center) * INCH, 9) > 0)
    assert (drawn[5] > drawn[3]) == (round((right - center) * INCH, 9) > 0)
