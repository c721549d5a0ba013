"""Serial numbers that look alike are found, and those that do not are kept apart."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.look_alikes import LOOK_ALIKES, in_range, look_alike, look_alike_key

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


@pytest.mark.parametrize(
    ("first", "second", "finding"),
    [
        ("RC-001", "RC-001", "same"),
        ("S0-12 8b", "5OIZ-B8", "look-alikes"),
        ("RC-001", "RC-007", "different"),
    ],
)
def test_two_plates_are_compared_as_a_tired_eye_sees_them(
    first: str, second: str, finding: str
) -> None:
    """Whichever is read first (common practice, no published source)."""
    assert look_alike(first, second).finding == look_alike(second, first).finding == finding


def test_a_range_compares_numbers_as_numbers_and_holds_both_ends() -> None:
    """99 comes before 100; 9 and 101 are outside (common practice, no published source)."""
    inside = {number: in_range(f"RC{number}", "RC10", "RC100").covered for number in (10, 99, 100)}
    assert all(inside.values())
    assert not in_range("RC9", "RC10", "RC100").covered
    assert not in_range("RC101", "RC10", "RC100").covered


@pytest.mark.parametrize(
    ("serial", "lowest", "highest", "field"),
    [
        ("", "RC10", "RC100", "serial"),
        ("XC50", "RC10", "RC100", "serial"),
        ("RC50", "RC100", "RC10", "highest"),
        ("RC50", "", "RC10", "highest"),
    ],
)
def test_a_range_that_cannot_be_held_against_a_plate_is_refused_by_name(
    serial: str, lowest: str, highest: str, field: str
) -> None:
    """To say “not covered” of a misread plate would let a recalled machine go."""
    with pytest.raises(RuleRefusal) as refusal:
        in_range(serial, lowest, highest)
    assert refusal.value.field == field
