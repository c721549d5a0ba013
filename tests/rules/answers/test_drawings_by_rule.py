"""Pictures that come with an answer: which there are, in the unit typed, readable on a phone."""

from typing import Any

import pytest

from prep.rules.answers.answer import calculate
from prep.rules.answers.drawings_by_rule import DRAWN
from prep.rules.drawings.shapes import Drawing, Text
from tests.rules.drawings.checks import WORDS, running_off, texts, touching_texts

PHONE, LEGIBLE = 360, 9.0  # pixels: the width of a phone, and a text's em (common practice)

PITCH = {
    "front": "4 in",
    "rear": "4 1/8 in",
    "least_lower": "3/4 in",
    "most_lower": "1 1/4 in",
    "lead": "1/8 in",
    "threads": "opposite",
    "ratio": 1,
    "longer": "raises",
    "near_thread": "right",
    "rods": 2,
}
STOPS = {
    "base_height": "2 in",
    "ratio": 2,
    "thicknesses": ["1 in", "1/2 in"],
    "counts": [2, 1],
}
# An invented trailed cutter; its joints bend most where it is neither longest nor shortest.
CUTTER = {
    "pto_ahead": "14 in",
    "pto_height": "10 in",
    "tractor_joint": "3 in",
    "input_behind": "79 in",
    "input_height": "14 in",
    "machine_joint": "4 in",
    "turn": "20°",
    "crest": "12°",
    "hollow": "12°",
    "lift": "12 in",
}
ASKED: dict[str, dict[str, Any]] = {
    "leveling.pitch": PITCH,
    "cutting_height.choose_stops": {
        **STOPS,
        "wanted": "5 in",
        "tolerance": "1/8 in",
        "fitted": [1, 0],
        "rod_space": "8 in",
    },
    "cutting_height.from_stops": STOPS,
    "decision.probability": {"value": "13.6", "standard_uncertainty": "1.8", "low": "12.5"},
    "driveline.extremes": CUTTER,
}


def pictures(rule: str) -> tuple[Drawing, ...]:
    """The pictures of a typical question, asked in inches."""
    return calculate(rule, ASKED[rule], WORDS).drawings


@pytest.mark.parametrize("rule", sorted(DRAWN))
def test_every_picture_can_be_read_on_a_phone(rule: str) -> None:
    """Texts stay apart, on the sheet, and nine pixels high where the sheet is 360 wide."""
    drawn_pictures = pictures(rule)
    assert drawn_pictures
    for drawing in drawn_pictures:
        sizes = [shape.size for shape in drawing.shapes if isinstance(shape, Text)]
        assert min(sizes) * PHONE / drawing.width >= LEGIBLE
        assert touching_texts(drawing) == []
        assert running_off(drawing) == []


@pytest.mark.parametrize("rule", sorted(DRAWN.keys() - {"decision.probability"}))
def test_lengths_on_a_picture_are_in_the_unit_that_was_typed(rule: str) -> None:
    """Inches in, inches out."""
    for drawing in pictures(rule):
        assert any(text.endswith(" in") for text in texts(drawing))
        assert "mm" not in drawing.description


def test_a_driveline_is_drawn_in_each_pose_that_decides() -> None:
    """Longest, shortest, and the one that bends a joint most, where it is neither of them."""
    heads = [drawing.description.partition(":")[0] for drawing in pictures("driveline.extremes")]
    assert heads == ["Longest", "Shortest", "Sharpest"]
