"""The picture of a driveline is to scale, says the pose's numbers, and stays readable."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.drawings.driveline import Halves, driveline_drawing
from prep.rules.drawings.driveline_scene import View, scene_of
from prep.rules.drawings.shapes import Circle, Drawing, Ink, Point, Polygon, to_svg
from prep.rules.driveline.pose import Geometry, Reach, describe, sweep
from prep.rules.quantities.quantity import UnknownUnitError
from prep.words.reader import Reader
from prep.words.rules.drawings import DrawingWords
from tests.rules.drawings.checks import WORDS, running_off, texts, touching_texts
from tests.rules.driveline.cast import CUTTER, EVEN, flat, pose_of


def joints_drawn(drawing: Drawing) -> list[Point]:
    """Centers of the joints: from above tractor and machine, then from the side."""
    return [s.center for s in drawing.shapes if isinstance(s, Circle) and s.radius == 1.9]


def tubes_drawn(drawing: Drawing, fill: Ink) -> list[float]:
    """Lengths of the bands of one tone along the driveline."""
    return [
        math.dist(s.points[0], s.points[1])
        for s in drawing.shapes
        if isinstance(s, Polygon) and s.fill is fill and math.dist(s.points[1], s.points[2]) < 5
    ]


def test_the_worst_pose_is_drawn_with_every_number_in_the_unit_asked() -> None:
    """An invented cutter at its shortest, in inches."""
    reach = Reach(turn=1.0, crest=0.15, hollow=0.15, lift=0.3)
    shortest = sweep(CUTTER, reach, EVEN).shortest
    headline = f"Shortest: {WORDS.pose(describe(shortest, reach, one_sided=False))}"
    drawing = driveline_drawing(CUTTER, shortest, headline, "in", WORDS, Halves(1.27, 1.27))
    words = texts(drawing)
    assert words[0] == "Shortest: full turn to either side, in a hollow, lowered"
    assert "Seen from above, left turn; forward is to the left" in words
    assert words[words.index("PTO end to hitch pin") + 1] == "14 in"
    assert words[words.index("hitch pin to input shaft") + 1] == "78 3/4 in"
    span = shortest.span / 0.0254
    assert words[-3] == f"Between the yoke seats: {_sixteenths(span)} in"
    assert words[-2] == f"Overlap of the halves: {_sixteenths(100 - span)} in"
    assert words[-1] == f"End clearance: {_sixteenths(span - 50)} in"


def _sixteenths(inches: float) -> str:
    whole, parts = divmod(math.floor(inches * 16 + 0.5), 16)
    common = math.gcd(parts, 16)
    return f"{whole} {parts // common}/{16 // common}" if parts else f"{whole}"


def turned_sixty_degrees() -> Drawing:
    """0.3 m ahead and 0.5 m behind the pivot."""
    geometry = flat(0.3, 0.5)
    return driveline_drawing(geometry, pose_of(geometry, 1.0471975512), "", "mm", WORDS)


def test_both_views_are_to_one_scale() -> None:
    """0.3 m ahead, 0.5 m behind, 60 degrees of turn: 0.7 m between the joints, seen from above."""
    drawing = driveline_drawing(
        flat(0.3, 0.5), pose_of(flat(0.3, 0.5), 1.0471975512), "", "mm", WORDS
    )
    above_tractor, above_machine, side_tractor, side_machine = joints_drawn(drawing)
    scale = math.dist(above_tractor, above_machine) / 0.7
    assert side_machine[0] - side_tractor[0] == pytest.approx(0.55 * scale)
    assert side_machine[1] == pytest.approx(side_tractor[1])


def test_angles_seen_are_those_of_the_plane_triangle() -> None:
    """The same turn: cosines 11/14 at the tractor and 13/14 at the machine, by hand."""
    drawing = driveline_drawing(
        flat(0.3, 0.5), pose_of(flat(0.3, 0.5), 1.0471975512), "", "mm", WORDS
    )
    words = texts(drawing)
    above, from_left = (
        words.index(f"Seen from {side}")
        for side in ("above, left turn; forward is to the left", "the left; forward is to the left")
    )
    assert words[words.index("tractor's joint", above) + 1] == "38.2°"
    assert words[words.index("machine's joint", above) + 1] == "21.8°"
    assert words[words.index("tractor's joint", from_left) + 1] == "0.0°"
    assert math.degrees(math.acos(11 / 14)) == pytest.approx(38.2, abs=0.05)
    assert math.degrees(math.acos(13 / 14)) == pytest.approx(21.8, abs=0.05)


def test_the_halves_and_their_overlap_are_to_scale() -> None:
    """Halves of 0.5 m over a span of 0.8 m overlap by a quarter of it."""
    straight = flat(0.3, 0.5)
    drawing = driveline_drawing(straight, pose_of(straight), "", "mm", WORDS, Halves(0.5, 0.5))
    start, end = joints_drawn(drawing)[:2]
    scale = math.dist(start, end) / 0.8
    assert tubes_drawn(drawing, Ink.PAPER)[0] == pytest.approx(0.5 * scale)
    assert tubes_drawn(drawing, Ink.GRAY)[0] == pytest.approx(0.2 * scale)
    assert "Overlap of the halves: 200 mm" in texts(drawing)


@pytest.mark.parametrize(
    ("half", "words"), [(0.35, "The halves come apart"), (0.85, "The longer half bottoms out")]
)
def test_a_driveline_that_cannot_be_run_says_so(half: float, words: str) -> None:
    """Apart shows a gap and no overlap; bottoming fills the span."""
    straight = flat(0.3, 0.5)
    drawing = driveline_drawing(straight, pose_of(straight), "", "mm", WORDS, Halves(half, half))
    assert words in texts(drawing)
    assert bool(tubes_drawn(drawing, Ink.GRAY)) is (half > 0.4)


def test_a_machine_lower_than_the_hitch_is_measured_below_it() -> None:
    """The caption turns round; the number is not negative."""
    low = Geometry(0.3, 0.2, 0.0, 1.0, -0.1, 0.0, 0.0)
    words = texts(driveline_drawing(low, pose_of(low), "", "mm", WORDS))
    assert words[words.index("input shaft below hitch") + 1] == "100 mm"


def test_left_and_right_turns_are_mirrored_about_the_tractor() -> None:
    """A left turn hangs down from the PTO line, a right turn stands up from it."""
    left = joints_drawn(driveline_drawing(CUTTER, pose_of(CUTTER, 0.6), "", "mm", WORDS))
    right = joints_drawn(driveline_drawing(CUTTER, pose_of(CUTTER, -0.6), "", "mm", WORDS))
    assert left[1][1] - left[0][1] == pytest.approx(right[0][1] - right[1][1])
    assert left[1][1] > left[0][1]


def test_ahead_is_left_and_up_is_up() -> None:
    """Seen from above the machine trails to the right; its left lies down the sheet."""
    scene = scene_of(CUTTER, pose_of(CUTTER))
    above, side = View(1, 1.0, 50.0, 100.0, 50.0), View(2, -1.0, 50.0, 100.0, 50.0)
    assert above.point(scene.tractor_joint)[0] < above.point(scene.machine_joint)[0]
    assert above.point((0.0, 0.2, 0.0))[1] == pytest.approx(60.0)
    assert side.point((0.0, 0.0, 0.2))[1] == pytest.approx(40.0)


def test_a_unit_of_no_length_is_refused() -> None:
    """The quantity table names the units there are."""
    with pytest.raises(UnknownUnitError, match="There is no unit"):
        driveline_drawing(CUTTER, pose_of(CUTTER), "", "cubit", WORDS)


@given(
    st.floats(-1.2, 1.2),
    st.floats(-0.3, 0.3),
    st.floats(0.0, 0.6),
    st.floats(-0.2, 0.2),
    st.sampled_from(["mm", "cm", "m", "in", "ft"]),
    st.none() | st.floats(0.3, 3.0).map(lambda half: Halves(half, half)),
    st.text(max_size=120),
)
@settings(max_examples=60)
def test_no_words_touch_and_nothing_runs_off_the_sheet(
    turn: float, pitch: float, lift: float, roll: float, unit: str, halves: Halves | None, head: str
) -> None:
    """Whatever the pose, the unit and the headline."""
    drawing = driveline_drawing(
        CUTTER, pose_of(CUTTER, turn, pitch, lift, roll), head, unit, WORDS, halves
    )
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []
    assert drawing.height < 260  # an A4 sheet with its margins


@pytest.mark.parametrize("language", ["es", "fr"])
@pytest.mark.parametrize("turn", [0.0, 1.05, -1.05])
def test_no_words_touch_in_another_language(language: str, turn: float) -> None:
    """Longer captions are made smaller; nothing runs into the drawing beside it."""
    words = DrawingWords(Reader(language=language))
    drawing = driveline_drawing(CUTTER, pose_of(CUTTER, turn), "Any", "in", words)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []


@given(st.floats(0.0, 1.5), st.floats(0.0, 1.0), st.floats(0.6, 6.0), st.floats(-0.5, 1.5))
@settings(max_examples=40)
def test_every_tractor_and_machine_fits_the_sheet(
    ahead: float, height: float, behind: float, input_height: float
) -> None:
    """From a compact to the longest tongue the rule takes."""
    geometry = Geometry(ahead, height, 0.0, behind, input_height, 0.0, 0.0)
    drawing = driveline_drawing(geometry, pose_of(geometry, 0.2), "Any", "in", WORDS)
    assert running_off(drawing) == []
    assert touching_texts(drawing) == []


def test_the_same_pose_gives_the_same_svg() -> None:
    """A certificate's picture can be made again."""
    one, other = (
        to_svg(driveline_drawing(CUTTER, pose_of(CUTTER, 0.4), "Turned", "mm", WORDS))
        for _ in range(2)
    )
    assert one == other
    assert "<desc>Turned. True angle, tractor&#x27;s joint: " in one
