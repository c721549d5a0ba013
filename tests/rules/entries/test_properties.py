"""What must hold for every entry: it comes back exact, in any unit and spelling, or is asked."""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from prep.rules.entries import spellings
from prep.rules.entries.number import Number, meanings
from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable, read
from prep.rules.quantities.quantity import (
    QUANTITIES,
    UNITS,
    Measured,
    Unit,
    decimal_text,
    show,
    with_unit,
)
from tests.rules.entries.cast import typed

many = settings(max_examples=100, derandomize=True)
units = st.sampled_from(sorted(UNITS.values(), key=lambda each: each.symbol))
quantities = st.sampled_from(sorted(QUANTITIES))
spelled = st.sampled_from(
    [(quantity, each, known[each]) for quantity, known in spellings.SURE.items() for each in known]
)
decimals = st.decimals(min_value=0, max_value=99999, places=3).map(Fraction)
workshop = st.builds(
    lambda whole, part, parts: Fraction(whole * parts + part % parts, parts),
    st.integers(0, 500),
    st.integers(0, 63),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
)
shoplike = st.lists(
    st.sampled_from(
        [
            *"0123456789.,'\"/- ()+~#%°⅞½OolIx",
            "ft",
            "in",
            "lb",
            "Nm",
            "mm",
            "psi",
            "gal",
            " to ",
            "ok",
        ]
    ),
    max_size=14,
).map("".join)

numbers_and_units = st.builds(
    lambda number, gap, spelling: f"{number}{gap}{spelling[1]}",
    st.from_regex(
        r"-?[0-9]{1,4}([.,][0-9]{1,4}|[ -][0-9]{1,2}/(2|8|16)| [0-9]{3})?", fullmatch=True
    ),
    st.sampled_from(["", " "]),
    spelled,
)
temperatures = st.decimals(min_value=-400, max_value=-200, places=2).map(Fraction)


@many
@given(value=decimals, spelling=spelled)
def test_a_decimal_comes_back_exactly_in_every_spelling(
    value: Fraction, spelling: tuple[str, str, Unit]
) -> None:
    """With a point, and with a comma where a thousand is out of the question."""
    quantity, text, unit = spelling
    point = f"{decimal_text(value)} {text}"
    assert typed(point, quantity, decimal_comma=False).measured == Measured(value, unit)
    comma = decimal_text(value).replace(".", ",")
    assert typed(f"{comma} {text}", quantity, decimal_comma=True).measured == Measured(value, unit)


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_every_spelling_reads_as_its_unit(quantity: str) -> None:
    """No spelling is shadowed by the grammar."""
    for text, unit in spellings.SURE[quantity].items():
        assert typed(f"2 {text}", quantity).measured == Measured(Fraction(2), unit)
        assert typed(f"2,5 {text}", quantity).measured == Measured(Fraction(5, 2), unit)


def test_every_doubtful_spelling_is_asked() -> None:
    """A gallon is a question wherever volumes are typed."""
    for quantity, known in spellings.SPELLINGS.items():
        for text, meant in known.items():
            if text not in spellings.SURE[quantity]:
                question = read(f"2 {text}", quantity)
                assert isinstance(question, Question)
                assert [choice.measured.unit for choice in question.choices] == list(meant)


@many
@given(value=decimals, unit=units)
def test_a_shown_value_can_be_typed_again(value: Fraction, unit: Unit) -> None:
    """What the service prints, it reads; a bare ratio it asks about, as it asks everybody."""
    assume(unit.symbol != "1")
    step = Fraction(1, 1000)
    shown = show(value, unit, step)
    assert typed(shown, unit.quantity, decimal_comma=False).measured == Measured(value, unit)


@many
@given(value=workshop, mark=st.sampled_from(["in", '"', "pouces", ""]))
def test_a_workshop_fraction_comes_back_exactly(value: Fraction, mark: str) -> None:
    """Mixed numbers with a blank or a hyphen; a bare fraction is in inches."""
    whole, rest = divmod(value, 1)
    part = f"{rest}" if rest else "0/8"
    for text in (f"{whole} {part} {mark}", f"{whole}-{part}{mark}"):
        assert typed(text, "length").measured == Measured(value, UNITS["in"])


@many
@given(value=workshop)
def test_feet_and_inches_are_the_same_length_as_inches(value: Fraction) -> None:
    """12 inches a foot."""
    feet, inches = divmod(value, 12)
    whole, rest = divmod(inches, 1)
    text = f"{feet}' {whole} {rest or '0/4'}\""
    assert typed(text, "length").measured.canonical() == value * Fraction("25.4")


@many
@given(value=decimals.filter(lambda each: each > 1), unit=units, data=st.data())
def test_a_value_typed_in_two_units_is_checked(
    value: Fraction, unit: Unit, data: st.DataObject
) -> None:
    """The exact second value agrees; one five percent off is asked."""
    others = [each for each in QUANTITIES[unit.quantity].units if each.factor != unit.factor]
    if not others or unit.quantity in {"temperature", "ratio"}:
        return
    other = data.draw(st.sampled_from(others))
    second = Measured(value, unit).in_unit(other)
    if not Fraction(1, 1000) < second < 10**7:
        return
    first = with_unit(decimal_text(value), unit)
    both = f"{first} ({with_unit(decimal_text(second, 9), other)})"
    result = read(both, unit.quantity, decimal_comma=False)
    assert isinstance(result, Typed)
    assert result.measured == Measured(value, unit)
    wrong = decimal_text(second * Fraction(105, 100), 9)
    assert isinstance(read(f"{first} ({with_unit(wrong, other)})", unit.quantity), Question)


@many
@given(text=st.one_of(st.text(max_size=210), shoplike), quantity=quantities)
def test_any_text_gets_one_of_four_answers(text: str, quantity: str) -> None:
    """Nothing a person types brings the service down, and what was typed is kept."""
    result = read(text, quantity)
    assert isinstance(result, Typed | Question | NotMeasured | Unreadable)
    assert result.raw == text


@many
@given(text=shoplike, quantity=quantities, comma=st.sampled_from([None, True, False]))
def test_every_choice_typed_instead_reads_as_that_choice(
    text: str, quantity: str, comma: bool | None
) -> None:
    """A question is answered by typing, so its choices must raise none."""
    question = read(text, quantity, decimal_comma=comma)
    if isinstance(question, Question):
        assert question.choices
        for choice in question.choices:
            assert typed(choice.entry, quantity, decimal_comma=comma).measured == choice.measured


@many
@given(text=shoplike, quantity=quantities)
def test_what_is_read_is_written_in_the_entry(text: str, quantity: str) -> None:
    """A value never holds a digit nobody typed, nor loses its unit's quantity."""
    result = read(text, quantity)
    if isinstance(result, Typed):
        assert result.measured.unit.quantity == quantity
        assert 0 < result.written_resolution <= 1
        assert (result.measured.value / result.written_resolution).denominator == 1


@many
@given(text=st.one_of(shoplike, numbers_and_units), quantity=quantities)
def test_no_text_that_is_read_has_another_meaning_under_another_number_style(
    text: str, quantity: str
) -> None:
    """While nobody knows how a person writes numbers, what depends on it is asked."""
    alone = read(text, quantity)
    for style in (True, False):
        other = read(text, quantity, decimal_comma=style)
        if isinstance(alone, Typed) and isinstance(other, Typed):
            assert other.measured == alone.measured


@many
@given(text=st.one_of(shoplike, numbers_and_units), unit=units, style=st.booleans())
def test_the_truth_is_among_the_choices(text: str, unit: Unit, style: bool) -> None:
    """What the entry would be in either style is offered to whoever has none yet."""
    asked = read(text, unit.quantity)
    meant = read(text, unit.quantity, decimal_comma=style)
    if isinstance(asked, Question) and isinstance(meant, Typed):
        assert meant.measured in {choice.measured for choice in asked.choices}


@many
@given(text=st.one_of(shoplike, numbers_and_units), unit=units)
def test_a_chosen_unit_only_settles_what_is_open(text: str, unit: Unit) -> None:
    """What is read without it is read with it, and alike; nothing is nothing in percent, too."""
    alone = read(text, unit.quantity)
    beside = read(text, unit.quantity, unit=unit)
    if isinstance(alone, Typed) and isinstance(beside, Typed):
        nothing = unit.quantity == "ratio" and not alone.measured.value
        assert beside.measured == alone.measured or (nothing and not beside.measured.value)
    if isinstance(alone, Typed):
        assert isinstance(beside, Typed | Question)


@many
@given(value=temperatures)
def test_nothing_below_absolute_zero_is_read(value: Fraction) -> None:
    """-273.15 °C: BIPM SI brochure (2019), 2.3.1."""
    result = read(f"{decimal_text(value)} °C", "temperature", decimal_comma=False)
    assert isinstance(result, Typed) == (value >= Fraction("-273.15"))


@pytest.mark.parametrize("piece", ["9", "1.", "1,", "1/", "1 ", "1 250 ", "1-", "o0.", "- ", "1' "])
def test_a_hostile_entry_is_scanned_few_times(piece: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Work grows with the length: no more terms than characters, each looked at once."""
    entry = (piece * 200)[:200]
    seen = []
    original = meanings

    def counted(*arguments: object) -> list[Number]:
        seen.append(arguments)
        return original(*arguments)  # type: ignore[arg-type]  # the same arguments, passed on

    monkeypatch.setattr("prep.rules.entries.number.meanings", counted)
    assert isinstance(read(entry, "length"), Unreadable | NotMeasured | Question)
    assert len(seen) <= len(entry)


@many
@given(
    number=st.one_of(
        st.decimals(min_value=-99999, max_value=99999, places=3).map(lambda each: f"{each:f}"),
        st.integers(-99999, 99999).map(str),
        st.from_regex(r"-?[0-9]{1,3}[ -][0-9]{1,2}/(2|3|4|8|16|32|64)", fullmatch=True),
        st.from_regex(r"[0-9]{1,10}([.,][0-9]{0,7})?", fullmatch=True),
    ),
    unit_text=st.one_of(st.sampled_from(sorted(UNITS)), st.just("")),
    gap=st.sampled_from(["", " ", "  "]),
    quantity=quantities,
    comma=st.sampled_from([None, False, True]),
)
def test_a_space_of_no_width_changes_nothing(
    number: str, unit_text: str, gap: str, quantity: str, comma: bool | None
) -> None:
    """The usual entry is read by a short way, anything else by the long one; both agree."""
    short = read(f"{number}{gap}{unit_text}", quantity, decimal_comma=comma)
    long = read(f"{number}{gap}{unit_text}\u200b", quantity, decimal_comma=comma)
    assert type(short) is type(long)
    if isinstance(short, Typed) and isinstance(long, Typed):
        assert short.measured == long.measured
        assert short.written_resolution == long.written_resolution
