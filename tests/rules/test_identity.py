"""Serial numbers that look alike are found, and those that do not are kept apart."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.identity import LOOK_ALIKES, look_alike_key

plate_characters = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -", max_size=20)


@pytest.mark.parametrize(
    ("on_the_plate", "as_typed"),
    [
        ("YP00481", "ypOO4BI"),
        ("YP-00481", "YP 00481"),
        ("YP–00481", "YP−00481"),
        ("L5Z6B0", "1S2GBQ"),
        ("D0O", "QQQ"),
        ("YP00481", "ＹＰ００４８１"),
        ("YP00481", "YP\u200b00481\u00a0"),
    ],
)
def test_one_plate_read_twice_has_one_key(on_the_plate: str, as_typed: str) -> None:
    """Worn characters, case, spaces and dashes do not hide a double (common practice)."""
    assert look_alike_key(on_the_plate) == look_alike_key(as_typed)


@pytest.mark.parametrize(
    ("one", "other"),
    [("00481", "481"), ("YP00481", "YP00482"), ("A1", "41"), ("V1", "U1"), ("", "0")],
)
def test_different_plates_keep_different_keys(one: str, other: str) -> None:
    """Leading zeros matter, and only the named classes are taken for one another."""
    assert look_alike_key(one) != look_alike_key(other)


def test_the_classes_are_the_six_of_the_trade() -> None:
    """O/0/Q/D, I/1/L, S/5, B/8, Z/2 and G/6, each onto its digit."""
    for digit, letters in LOOK_ALIKES.items():
        for letter in letters:
            assert look_alike_key(letter) == look_alike_key(letter.lower()) == digit
    assert look_alike_key("ACEFHJKMNPRTUVWXY3479") == "ACEFHJKMNPRTUVWXY3479"


def test_a_plate_of_nothing_but_dashes_has_no_key() -> None:
    """The caller can see that nothing was read."""
    assert look_alike_key(" -– ") == ""


@settings(max_examples=100)
@given(st.text(st.characters(codec="utf-8"), max_size=30))
def test_the_key_of_a_key_is_itself(serial: str) -> None:
    """Keys can be compared with typed text without knowing which is which."""
    assert look_alike_key(look_alike_key(serial)) == look_alike_key(serial)


@settings(max_examples=100)
@given(plate_characters, plate_characters, st.sampled_from(["", " ", "-", " - "]))
def test_a_key_is_built_character_by_character(left: str, right: str, joint: str) -> None:
    """Where a space or a dash stands never matters."""
    assert look_alike_key(left + joint + right) == look_alike_key(left) + look_alike_key(right)
