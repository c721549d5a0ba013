"""Check characters are those of the standards, and find the slips they are made to find."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.check_characters import (
    DIGITS,
    LETTERS,
    SYSTEMS,
    CheckedNumber,
    ProductNumber,
    certificate_number,
    check_characters,
    check_number,
    check_vehicle_number,
    has_right_check,
    is_certificate_number,
    product_number,
    vin_check_digit,
)
from prep.rules.phrase import Phrase, phrase

systems = st.sampled_from(sorted(SYSTEMS))


@st.composite
def checked_numbers(draw: st.DrawFn) -> tuple[str, str]:
    """A system and a number with its right check."""
    system = draw(systems)
    body = draw(st.text(SYSTEMS[system].alphabet, min_size=1, max_size=20))
    return system, body + check_characters(body, system)


@pytest.mark.parametrize(
    ("system", "body", "check"),
    [
        ("MOD 37,36", "A12425GABC1234002", "M"),
        ("MOD 11,10", "00200667308", "5"),
        ("MOD 11,10", "79462", "3"),
        ("MOD 11-2", "0794", "0"),
        ("MOD 11-2", "079", "X"),
        ("MOD 37-2", "G123489654321", "Y"),
        ("MOD 97-10", "99991234567890121414", "90"),
        ("MOD 97-10", "4354111611551114", "31"),
    ],
)
def test_iso_7064_checks_are_as_published(system: str, body: str, check: str) -> None:
    """Published examples of each system (ISO/IEC 7064; library python-stdnum)."""
    assert check_characters(body, system) == check
    assert has_right_check(body + check, system)
    assert check_number(body + check, system) == CheckedNumber(check, check, True)


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        ("1G4AH59H45G118341", "4"),  # the worked table of 49 CFR 565.15
        ("1M8GDM9AXKP042788", "X"),  # agency guide
        ("1J9RP1A36A1644345", "6"),  # agency guide
        ("11111111111111111", "1"),
    ],
)
def test_the_vehicle_check_digit_is_as_published(vin: str, digit: str) -> None:
    """49 CFR 565.15; what stands in position 9 does not count."""
    assert vin_check_digit(vin) == digit == vin[8]
    assert vin_check_digit(f"{vin[:8]}?{vin[9:]}") == digit
    assert check_vehicle_number(f"{vin[:8]}Z{vin[9:]}") == CheckedNumber("Z", digit, False)


@pytest.mark.parametrize(
    ("vin", "why"),
    [
        ("1G4AH59H45G11834", phrase("number-length", wanted=17, count=16)),
        ("1G4AH59H45O118341", phrase("character-like-digit", position=11, character="O", digit=0)),
        ("1g4AH59H45G118341", phrase("character-not-used", position=2, character="g")),
    ],
)
def test_a_vehicle_number_that_cannot_be_one_is_refused(vin: str, why: Phrase) -> None:
    """The technician is told which character to look at."""
    with pytest.raises(RuleRefusal) as refusal:
        vin_check_digit(vin)
    assert (refusal.value.field, refusal.value.phrase) == ("vin", why)


@settings(max_examples=100)
@given(
    st.text("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", min_size=17, max_size=17),
    st.sampled_from([place for place in range(17) if place != 8]),
    st.lists(st.sampled_from(DIGITS), min_size=2, max_size=2, unique=True),
)
def test_one_wrong_digit_in_a_vehicle_number_is_found(
    vin: str, place: int, digits: list[str]
) -> None:
    """Every weight but that of position 9 is prime to 11, so one changed digit always shows."""
    one, other = (f"{vin[:place]}{digit}{vin[place + 1 :]}" for digit in digits)
    assert vin_check_digit(one) != vin_check_digit(other)


def test_a_product_number_is_read_by_its_places() -> None:
    """Structure of ISO 10261, value from memory; an invented machine."""
    assert product_number("1YPRC15WAKP042788") == ProductNumber("1YP", "RC15W", "A", "KP042788")


@pytest.mark.parametrize(
    ("pin", "why"),
    [
        ("1YPRC15W7KP042788", phrase("check-place-not-a-letter", character="7")),
        ("1YPRC15WAKP04278", phrase("number-length", wanted=17, count=16)),
        ("1YPRC15WIKP042788", phrase("character-like-digit", position=9, character="I", digit=1)),
    ],
)
def test_a_product_number_of_another_structure_is_refused(pin: str, why: Phrase) -> None:
    """Length, characters and the letter in place 9 are all that can be checked."""
    with pytest.raises(RuleRefusal) as refusal:
        product_number(pin)
    assert (refusal.value.field, refusal.value.phrase) == ("pin", why)


def test_every_letter_in_place_9_of_a_product_number_is_taken() -> None:
    """The manufacturer may assign it, and how it is computed is not public: nothing is invented."""
    for letter in set(LETTERS) - set("IOQ"):
        assert product_number(f"1YPRC15W{letter}KP042788").check_letter == letter


@settings(max_examples=100)
@given(checked_numbers(), st.data())
def test_one_wrong_character_is_always_found(
    numbered: tuple[str, str], data: st.DataObject
) -> None:
    """What every system of ISO/IEC 7064 promises: all single substitutions."""
    system, number = numbered
    length = SYSTEMS[system].length
    place = data.draw(st.integers(0, len(number) - length - 1))
    other = data.draw(
        st.sampled_from(SYSTEMS[system].alphabet).filter(lambda c: c != number[place])
    )
    assert has_right_check(number, system)
    assert not has_right_check(number[:place] + other + number[place + 1 :], system)


@settings(max_examples=100)
@given(st.sampled_from(["MOD 11-2", "MOD 37-2", "MOD 97-10"]), st.data())
def test_two_exchanged_neighbors_are_found_by_the_pure_systems(
    system: str, data: st.DataObject
) -> None:
    """ISO/IEC 7064: pure systems find all single transpositions; hybrids nearly all."""
    body = data.draw(st.text(SYSTEMS[system].alphabet, min_size=2, max_size=20))
    place = data.draw(st.integers(0, len(body) - 2))
    left, right = body[place], body[place + 1]
    exchanged = f"{body[:place]}{right}{left}{body[place + 2 :]}"
    assert has_right_check(exchanged + check_characters(body, system), system) == (left == right)


@pytest.mark.parametrize(
    ("system", "body", "code", "character"),
    [
        ("MOD 37,36", "", "number-empty", None),
        ("MOD 37,36", "ab", "digits-and-capitals-only", "a"),
        ("MOD 11-2", "07X", "digits-only", "X"),
        ("MOD 97-10", "٣", "digits-only", "٣"),
    ],
)
def test_a_foreign_character_is_refused(
    system: str, body: str, code: str, character: str | None
) -> None:
    """Nothing is skipped or guessed."""
    with pytest.raises(RuleRefusal) as refusal:
        check_characters(body, system)
    assert (refusal.value.code, refusal.value.values.get("character")) == (code, character)


def test_a_certificate_number_carries_its_check() -> None:
    """MOD 37,36 behind the body; any other ending is not one of ours."""
    number = certificate_number("A12425GABC1234002")
    assert number == "A12425GABC1234002M"
    assert is_certificate_number(number)
    for wrong in (number[:-1] + "N", number.lower(), number + " ", "", "M", "Ä" + number):
        assert not is_certificate_number(wrong)
