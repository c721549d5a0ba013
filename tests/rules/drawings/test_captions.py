"""Words on a drawing fit their room and show amounts in the typed unit."""

import pytest

from prep.rules.catalog.advice import Advice
from prep.rules.drawings.captions import column, fitted
from prep.rules.drawings.shapes import text_width
from prep.rules.phrase import Token
from tests.rules.drawings.checks import WORDS


def millimeters(meters: float) -> str:
    return f"{meters * 1000:.4g} mm"


def test_a_word_keeps_its_size_until_the_room_is_too_narrow() -> None:
    """Then it is just as wide as the room."""
    assert fitted((0, 0), "rear tip", 3.0, 40.0).size == 3.0
    narrow = fitted((0, 0), "rear tip", 3.0, 5.0)
    assert narrow.size < 3.0
    assert text_width(narrow.text, narrow.size) == pytest.approx(5.0)


def test_a_long_line_wraps_at_spaces_and_loses_no_word() -> None:
    """The first line of a column is the bold one."""
    line = "Turn both rods longer seen from the end with the right-hand thread"
    parts = list(column((5.0, 6.0), ["Pitch", line], 3.4, 60.0))
    assert [part.bold for part in parts] == [True] + [False] * (len(parts) - 1)
    assert len(parts) > 2
    assert " ".join(part.text for part in parts[1:]) == line
    assert all(text_width(part.text, part.size, part.bold) <= 60.0 for part in parts)


def test_an_advice_shows_its_length_as_asked_and_turns_as_a_count() -> None:
    """Lengths through the caller, turns to three digits and without trailing zeros."""
    raised = WORDS.advice(Advice("raise-lamp", 0.0254, "m"), millimeters)
    assert raised == "Raise the lamp by 25.4 mm."
    way, hand = Token("clockwise"), Token("right-hand-thread")
    for amount, turns in ((2.6666, "2.67"), (4.0, "4"), (1.5, "1.5"), (10.0, "10")):
        advice = Advice("lengthen-rod", amount, "1", direction=way, hand=hand)
        turned = WORDS.advice(advice, millimeters)
        assert turned.startswith(f"Lengthen the rod: turn it {turns} turns clockwise")
