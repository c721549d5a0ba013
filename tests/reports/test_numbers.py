"""Numbers of documents in every spelling, and typing mistakes told from other numbers.

That a wrong character is always found, and swapped neighbors nearly always, is what ISO/IEC 7064
says of its hybrid systems; its worked example is checked in tests/rules/identity.
"""

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from reports.numbers import ALPHABET, LENGTH, Misspelling, drawn_number, read_number
from reports.registry import KINDS

LETTERS = [kind.letter for kind in KINDS.values()]
NUMBERS = st.builds(drawn_number, st.sampled_from(LETTERS), st.text())
FULL_WIDTH = str.maketrans({chr(code): chr(code + 0xFEE0) for code in range(0x21, 0x7F)})
ARABIC_DIGITS = str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")


def look_alikes(number: str) -> str:
    """A number as somebody reads it who takes digits for letters."""
    return number[0] + number[1:].translate(str.maketrans("01V", "OIU"))


@pytest.mark.parametrize(
    "spelled",
    [
        str.lower,
        "-".join,
        " ".join,
        lambda number: f"{number[:4]}.{number[4:9]}–{number[9:]}\n",
        lambda number: number.translate(FULL_WIDTH),
        lambda number: number.translate(ARABIC_DIGITS),
        look_alikes,
        lambda number: look_alikes(number).lower(),
        lambda number: number[0] + number[1:].replace("1", "l"),
        lambda number: f"https://yard.example/verify/{number}",
        lambda number: f"HTTPS://YARD.EXAMPLE/VERIFY/{number.lower()}/?from=label#top",
        lambda number: f"yard.example:8000/verify/%20{number}",
        lambda number: f"registration-{number}.zip",
        lambda number: f"Delivery certificate {number}",
        lambda number: f"“{number}”",
        lambda number: f"\u200b{number}\u00a0",
    ],
)
@given(number=NUMBERS)
def test_a_number_is_read_in_any_spelling(spelled: object, number: str) -> None:
    """As a person types it, scans it, or pastes it with what stood around it."""
    assert callable(spelled)
    read = read_number(spelled(number))
    assert (read.number, read.wrong, read.likely) == (number, None, ())


@pytest.mark.parametrize("first", ["L", "l", "1", "I", "i"])
def test_the_letter_of_labels_is_a_letter_however_it_is_read(first: str) -> None:
    """The kind's letter is no digit; behind it the same character is one."""
    number = drawn_number("L", "labels")
    assert read_number(first + number[1:]).number == number


@given(NUMBERS, st.data())
def test_two_swapped_neighbors_are_put_right(number: str, data: st.DataObject) -> None:
    """The right number is among the likely ones, and all of these have a right check."""
    place = data.draw(st.integers(1, LENGTH - 2))
    swapped = number[:place] + number[place + 1] + number[place] + number[place + 2 :]
    read = read_number(swapped)
    assume(read.wrong)  # the same twice, or the one pair in thousands the system does not find
    assert read.wrong is Misspelling.WRONG_CHECK
    assert number in read.likely
    assert all(read_number(one).wrong is None for one in read.likely)


@given(NUMBERS)
def test_a_character_taken_for_another_is_put_right(number: str) -> None:
    """At every place, in either direction."""
    for place, character in enumerate(number[1:], 1):
        for pair in ("8B", "5S", "2Z", "0D", "6G"):
            if character in pair:
                other = pair.replace(character, "")
                read = read_number(number[:place] + other + number[place + 1 :])
                assert read.wrong is Misspelling.WRONG_CHECK
                assert number in read.likely


@given(NUMBERS, st.data())
def test_no_wrong_character_passes(number: str, data: st.DataObject) -> None:
    """ISO/IEC 7064: every single substitution is found."""
    place = data.draw(st.integers(1, LENGTH - 1))
    other = data.draw(st.sampled_from(ALPHABET))
    assume(other != number[place])
    assert read_number(number[:place] + other + number[place + 1 :]).wrong


@given(NUMBERS)
def test_a_character_too_many_or_too_few_is_said(number: str) -> None:
    """Typed twice, it is put right; left out, it cannot be told which."""
    twice = read_number(number[:5] + number[4:])
    assert twice.wrong is Misspelling.TOO_LONG
    assert number in twice.likely
    assert read_number(number[:-1]).wrong is Misspelling.TOO_SHORT


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("", Misspelling.EMPTY),
        (" -–/. ", Misspelling.EMPTY),
        ("C", Misspelling.TOO_SHORT),
        ("C" * 5000, Misspelling.TOO_LONG),
        ("C00000000000Ñ", Misspelling.FOREIGN_CHARACTER),
        ("0000000000000", Misspelling.FOREIGN_CHARACTER),
    ],
)
def test_what_is_no_number_is_said(typed: str, wrong: Misspelling) -> None:
    """Each in its own way, because what to do about it differs."""
    assert read_number(typed).wrong is wrong


@given(st.text())
@example("%00%ff%" * 80)
@example("/verify/" * 50)
@example("\U0001d7d8" * 13)
def test_any_text_is_read_or_said_to_be_none(typed: str) -> None:
    """What it is read as is read the same again, so that its address stands."""
    read = read_number(typed)
    if read.wrong is None:
        assert len(read.number) == LENGTH
        assert read_number(read.number) == read
