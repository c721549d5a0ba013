"""Words on a drawing fit their room and say amounts in the typed unit."""

import pytest

from prep.rules.catalog.advice import Advice
from prep.rules.drawings.captions import column, fitted, number, read_out
from prep.rules.drawings.shapes import text_width


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


def test_an_advice_is_read_out_in_the_typed_unit_or_as_a_count() -> None:
    """Lengths through the caller, turns to two decimals."""
    assert read_out(Advice("Raise by {amount}", 0.0254, "m"), millimeters) == "Raise by 25.4 mm."
    turns = Advice("Turn {amount} turns", 2.6666, "1")
    assert read_out(turns, millimeters) == "Turn 2.67 turns."


@pytest.mark.parametrize(("value", "text"), [(4.0, "4"), (1.5, "1.5"), (10.0, "10")])
def test_a_number_has_no_trailing_zeros(value: float, text: str) -> None:
    """Four turns, not 4.00 turns; ten, not 1."""
    assert number(value) == text
