"""The picture of stop segments shows the ones that belong on the rod, and stays readable."""

from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.deck.cutting_height import choose_stops
from prep.rules.drawings.height_stops import stops_drawing
from prep.rules.drawings.shapes import Drawing, Ink, Polygon
from tests.rules.drawings.checks import WORDS, box, running_off, texts, touching_texts

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
KINDS = (0.25 * INCH, 1.5 * INCH, 1.0 * INCH, 0.75 * INCH)  # an invented model's segments
ROD = 7.0 * INCH


def inches(meters: float) -> str:
    return f"{meters / INCH:.4g} in"


def drawn(
    wanted: float,
    counts: tuple[int, ...] = (4, 1, 2, 1),
    fitted: tuple[int, ...] = (0, 0, 0, 0),
) -> Drawing:
    """2 in with no segment, ratio 2."""
    choice = choose_stops(wanted * INCH, 0.01 * INCH, 2 * INCH, 2.0, KINDS, counts, fitted, ROD)
    return stops_drawing(wanted * INCH, choice, KINDS, ROD, inches, WORDS)


def segments(drawing: Drawing) -> list[float]:
    """Length of each segment on the rod in inches of rod, from the barrel outwards."""
    outlines = sorted(
        box(shape)
        for shape in drawing.shapes
        if isinstance(shape, Polygon) and shape.fill is Ink.PAPER and shape.ink is None
    )
    return [round((right - left) / 95.0 * 7.0, 6) for left, _, right, _ in outlines]


def test_each_segment_is_drawn_to_scale_the_wide_ones_at_the_barrel() -> None:
    """11.5 in is 2 and twice 4.75: all but the small ones, and two of those."""
    drawing = drawn(11.5)
    assert segments(drawing) == [1.5, 1.0, 1.0, 0.75, 0.25, 0.25]
    words = texts(drawing)
    assert words[0] == "Cutting height 11.5 in; wanted 11.5 in: reached."
    labels = ["1 × 1.5 in", "2 × 1 in", "1 × 0.75 in", "2 × 0.25 in"]
    assert [word for word in words if word in labels] == labels


def test_what_to_move_stands_above_the_picture_with_its_caution() -> None:
    """One of 1 in off, one of 1 1/2 in on."""
    joined = " ".join(texts(drawn(5.0, fitted=(0, 0, 1, 0))))
    off = "With the deck blocked and the pressure off, take off the rod: 1 × 1 in segment."
    on = "With the deck blocked and the pressure off, put on the rod: 1 × 1.5 in segment."
    assert joined.index(off) < joined.index(on)


def test_a_bare_rod_says_so() -> None:
    """Lower than the stops allow: none belongs on the rod."""
    drawing = drawn(1.0)
    assert segments(drawing) == []
    assert "no segment" in texts(drawing)
    assert "Nothing to move." in texts(drawing)
    assert drawing.description.endswith("On the rod: no segment.")


def test_the_description_lists_the_segments() -> None:
    """For who cannot see it."""
    assert drawn(11.5).description.endswith(
        "On the rod: 2 × 0.25 in, 1 × 1.5 in, 2 × 1 in, 1 × 0.75 in."
    )


@many
@given(
    st.floats(0, 30),
    st.tuples(*[st.integers(0, 5)] * 4),
    st.data(),
)
def test_a_picture_of_stops_is_readable_whatever_is_wanted(
    wanted: float, counts: tuple[int, ...], data: st.DataObject
) -> None:
    """Nothing runs off the sheet, no text touches another."""
    fitted = tuple(data.draw(st.integers(0, count)) for count in counts)
    drawing = drawn(wanted, counts, fitted)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []
