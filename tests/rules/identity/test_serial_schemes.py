"""Reading of serial numbers by a manufacturer's scheme. All manufacturers here are invented."""

from datetime import date
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.check_characters import check_characters
from prep.rules.identity.serial_schemes import Built, SchemeError, range_from, scheme_from
from prep.rules.phrase import Phrase, Token, phrase

# Shapes seen on plates: 15 digits with the day of the year inside (a published recall names
# "digits 9 to 11, 001 to 216"); a short number behind a prefix; a 17-character number.
FIFTEEN_DIGITS = scheme_from(
    yaml.safe_load(
        """
        parts:
          - {name: plant, characters: digits, length: 8}
          - {name: day_of_year, characters: digits, length: 3}
          - {name: number, characters: digits, length: 4}
        built: {day_of_year: day_of_year}
        """
    )
)
PREFIXED = scheme_from(
    {
        "parts": [
            {"name": "manufacturer", "text": "YP-"},
            {"name": "number", "characters": "digits", "length": [3, 6]},
            {"name": "works", "characters": "capital letters", "length": 1},
        ]
    }
)
DATED = scheme_from(
    {
        "parts": [
            {"name": "built", "characters": "digits", "length": 8},
            {"name": "number", "characters": "digits", "length": 3},
        ],
        "built": {"date": "built"},
    }
)
YEAR_AND_DAY = scheme_from(
    {
        "parts": [
            {"name": "year", "characters": "digits", "length": 4},
            {"name": "day", "characters": "digits", "length": 3},
        ],
        "built": {"year": "year", "day_of_year": "day"},
    }
)
SEVENTEEN = {"name": "number", "length": 17}


def test_a_serial_is_read_part_by_part() -> None:
    """Exactly as on the plate: zeros, dash and all."""
    assert FIFTEEN_DIGITS.read("301484002160007") == {
        "plant": "30148400",
        "day_of_year": "216",
        "number": "0007",
    }
    assert PREFIXED.read("YP-007A") == {"manufacturer": "YP-", "number": "007", "works": "A"}
    assert PREFIXED.read("YP-000070A")["number"] == "000070"


def kind_of(place: str, part: str, kind: str, found: str) -> Phrase:
    """A part with characters of another kind."""
    return phrase("serial-part-kind", place=place, part=part, kind=Token(kind), found=found)


@pytest.mark.parametrize(
    ("scheme", "serial", "why"),
    [
        (
            FIFTEEN_DIGITS,
            "30148400Z160007",
            kind_of("9–11", "day of year", "digits", "Z16"),
        ),
        (
            FIFTEEN_DIGITS,
            "30148400216007",
            phrase("serial-length", wanted="15", count=14),
        ),
        (
            PREFIXED,
            "YP 00712A",
            phrase(
                "serial-part-differs",
                place="1–3",
                part="manufacturer",
                expected="YP-",
                found="YP ",
            ),
        ),
        (
            PREFIXED,
            "YP-0071",
            kind_of("7", "works", "capital-letters", "1"),
        ),
        (
            PREFIXED,
            "YP-0071a",
            kind_of("8", "works", "capital-letters", "a"),
        ),
        (
            PREFIXED,
            "YP-1A",
            phrase("serial-length", wanted="7–10", count=5),
        ),
    ],
)
def test_a_misread_plate_is_told_where_to_look(scheme: Any, serial: str, why: Phrase) -> None:
    """Places are counted from 1, as a person does."""
    with pytest.raises(RuleRefusal) as refusal:
        scheme.read(serial)
    assert (refusal.value.field, refusal.value.phrase) == ("serial", why)


def test_the_day_of_building_is_read_where_the_serial_says_it() -> None:
    """A whole date, a year with the day in it, or the day alone; else nothing is known."""
    assert DATED.built_on("20240229007") == Built(2024, 60, date(2024, 2, 29))
    assert YEAR_AND_DAY.built_on("2024366") == Built(2024, 366, date(2024, 12, 31))
    assert FIFTEEN_DIGITS.built_on("301484002160007") == Built(None, 216)
    assert PREFIXED.built_on("YP-007A") == Built()


@pytest.mark.parametrize(
    ("scheme", "serial", "listed"),
    [
        (DATED, "20230229007", "20230229"),
        (YEAR_AND_DAY, "2023366", "2023 366"),
        (YEAR_AND_DAY, "2023000", "2023 000"),
        (YEAR_AND_DAY, "0000001", "0000 001"),
        (YEAR_AND_DAY, "9999366", "9999 366"),
        (FIFTEEN_DIGITS, "301484003670007", "367"),
    ],
)
def test_a_day_that_never_was_is_refused(scheme: Any, serial: str, listed: str) -> None:
    """No 29 February in 2023, no day 366 either."""
    with pytest.raises(RuleRefusal) as refusal:
        scheme.built_on(serial)
    assert refusal.value.phrase == phrase("serial-without-date", date=listed)


@pytest.mark.parametrize(
    ("check", "right", "wrong"),
    [
        ("49 CFR 565.15", "1M8GDM9AXKP042788", "1M8GDM9A1KP042788"),  # agency guide
        ("MOD 37,36", "A12425GABC1234002M"[-17:-1], None),
    ],
)
def test_a_check_character_is_held_against_the_rest(
    check: str, right: str, wrong: str | None
) -> None:
    """A misread character is found on the yard, not in the recall years later."""
    if wrong is None:
        right += check_characters(right, check)
        wrong = right[:-2] + ("0" if right[-2] != "0" else "1") + right[-1]
    scheme = scheme_from({"parts": [SEVENTEEN], "check": check})
    assert scheme.read(right) == {"number": right}
    with pytest.raises(RuleRefusal) as refusal:
        scheme.read(wrong)
    assert refusal.value.phrase == phrase("check-character-wrong", method=check)


def test_a_product_number_needs_its_letter_and_no_more() -> None:
    """Structure of ISO 10261, value from memory; the letter is never computed."""
    scheme = scheme_from({"parts": [SEVENTEEN], "check": "ISO 10261"})
    assert scheme.read("1YPRC15WAKP042788") == {"number": "1YPRC15WAKP042788"}
    with pytest.raises(RuleRefusal, match="check-place-not-a-letter"):
        scheme.read("1YPRC15W1KP042788")


def test_a_campaign_about_a_day_of_year_finds_its_machines() -> None:
    """Digits 9 to 11 between 001 and 216, as a published recall of 15-digit serials says it."""
    by_place = range_from({"characters": [9, 11], "from": "001", "to": "216"})
    by_part = range_from({"part": "day_of_year", "from": "001", "to": "216"})
    for day, covered in (("001", True), ("216", True), ("217", False), ("000", False)):
        serial = f"30148400{day}0007"
        assert by_place.covers(serial) is covered
        assert by_part.covers(serial, FIFTEEN_DIGITS) is covered


def test_a_range_of_whole_serials_has_both_its_ends() -> None:
    """Prefix equal, numbers compared as numbers."""
    whole = range_from({"from": "YP-0100A", "to": "YP-0250A"})
    for serial, covered in (("0099", False), ("0100", True), ("0250", True), ("0251", False)):
        assert whole.covers(f"YP-{serial}A") is covered
    unpadded = range_from({"from": "95", "to": "1500"})
    for serial, covered in (("94", False), ("95", True), ("1500", True), ("1501", False)):
        assert unpadded.covers(serial) is covered


@pytest.mark.parametrize(
    ("data", "serial", "why"),
    [
        ({"from": "YP-0100A", "to": "YP-0250A"}, "YP-0200B", "serial-unlike-range"),
        ({"from": "0100", "to": "0250"}, "200", "serial-unlike-range"),
        ({"characters": [9, 11], "from": "001", "to": "216"}, "30148400O160007", "O16"),
        (
            {"characters": [9, 11], "from": "001", "to": "216"},
            "3014840021",
            "serial-too-short .*count=10",
        ),
    ],
)
def test_a_serial_that_cannot_be_compared_is_never_called_safe(
    data: dict[str, Any], serial: str, why: str
) -> None:
    """A letter O or a lost zero must not let a recalled machine go."""
    with pytest.raises(RuleRefusal, match=why):
        range_from(data).covers(serial)


def test_a_range_about_a_part_needs_a_scheme_that_has_it() -> None:
    """The office sees it when it enters the campaign, not when a unit slips through."""
    about_day = range_from({"part": "day_of_year", "from": "001", "to": "216"})
    for scheme in (None, PREFIXED):
        with pytest.raises(SchemeError, match="about day_of_year"):
            about_day.covers("301484002160007", scheme)


DAY = {"name": "day", "characters": "digits", "length": 3}


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({}, "missing required field `parts`"),
        ({"parts": []}, "parts-unnamed"),
        ({"parts": [DAY, DAY]}, "parts-unnamed"),
        ({"parts": [{"name": "a"}]}, r"part-text-or-length - at `\$.parts\[0\]`"),
        ({"parts": [{"name": "a", "text": 7}]}, r"Expected `str`, got `int`"),
        ({"parts": [{"name": "a", "length": [4, 2]}]}, r"part-length \(most=40\)"),
        ({"parts": [{"name": "a", "length": 41}]}, r"part-length \(most=40\)"),
        ({"parts": [{"name": "a", "length": 2, "color": 1}]}, "unknown field `color`"),
        ({"parts": [{"name": "a", "length": 2, "characters": "any"}]}, "Invalid enum value 'any'"),
        (
            {"parts": [{"name": "a", "length": [1, 2]}, {"name": "b", "length": [1, 2]}]},
            "parts-vary",
        ),
        ({"parts": [DAY], "check": "MOD 10"}, "Invalid enum value 'MOD 10'"),
        ({"parts": [DAY], "built": {"date": "day"}}, r"built-part \(kind=date, digits=8\)"),
        (
            {"parts": [DAY], "built": {"day_of_year": "x"}},
            r"built-part \(kind=day_of_year, digits=3\)",
        ),
        (
            {"parts": [DAY], "built": {"day_of_year": "day", "date": "day"}},
            "built-twice",
        ),
    ],
)
def test_a_scheme_that_makes_no_sense_is_refused(data: dict[str, Any], words: str) -> None:
    """The author of the model's file is told where and what to write."""
    with pytest.raises(SchemeError, match=words):
        scheme_from(data)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"from": "1"}, "missing required field `to`"),
        ({"from": "", "to": "5"}, "range-without-end"),
        ({"from": 1, "to": "216"}, "Expected `str`, got `int`"),
        ({"from": "300", "to": "216"}, r"range-empty \(first=300, last=216\)"),
        ({"from": "A1", "to": "B2"}, r"range-empty \(first=A1, last=B2\)"),
        ({"from": "001", "to": "216", "characters": [11, 9]}, "range-places"),
        ({"from": "001", "to": "216", "characters": [9, 11], "part": "day"}, "range-places"),
        ({"from": "1", "to": "216", "characters": [9, 11]}, r"range-width \(count=3\)"),
    ],
)
def test_a_range_that_makes_no_sense_is_refused(data: dict[str, Any], words: str) -> None:
    """The ends stand in quotes, in order, and as long as the place they are held against."""
    with pytest.raises(SchemeError, match=words):
        range_from(data)


@settings(max_examples=100)
@given(
    st.text("0123456789", min_size=3, max_size=6),
    st.sampled_from("ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
)
def test_the_parts_put_together_are_the_serial(number: str, works: str) -> None:
    """Reading loses and adds nothing."""
    serial = f"YP-{number}{works}"
    assert "".join(PREFIXED.read(serial).values()) == serial


@settings(max_examples=100)
@given(st.tuples(*[st.integers(0, 9999)] * 3))
def test_a_range_covers_what_lies_between_its_ends(numbers: tuple[int, int, int]) -> None:
    """For any range and any serial of its length, the ends included."""
    low, high = sorted(numbers[:2])
    covered = range_from({"from": f"{low:04d}", "to": f"{high:04d}"}).covers(f"{numbers[2]:04d}")
    assert covered is (low <= numbers[2] <= high)
