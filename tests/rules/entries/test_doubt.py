"""What can mean two things is asked; what is no value is a note; the rest is refused with help."""

import pytest

from prep.rules.phrase import Phrase, QuantityName, phrase
from tests.rules.entries.cast import asked, entries, refused, typed, value


@pytest.mark.parametrize(
    ("text", "quantity", "choices"),
    [
        ("1,250 kg", "mass", ["01.250 kg", "1250 kg"]),
        ("1.125 in", "length", ["01.125 in", "1125 in"]),
        ("12°", "temperature", ["12 °C", "12 °F"]),
        ("5/6", "count", ["5", "6", "0 5/6"]),
        ("15", "ratio", ["15 %", "15 = 1500 %"]),
        ("450", "torque", ["450 ft·lbf", "450 N·m", "450 in·lbf", "450 daN·m", "450 kgf·m"]),
        ("1 gal 2 qt", "volume", ["6 US qt", "6 imp qt"]),
    ],
)
def test_what_can_mean_two_things_is_asked(text: str, quantity: str, choices: list[str]) -> None:
    """The choices are what the entry can mean, each typed without doubt, shop units first."""
    assert entries(asked(text, quantity)) == choices


def test_a_choice_is_labeled_as_anybody_would_write_it() -> None:
    """The nought before 1.250 is for the reader of entries alone."""
    labels = [choice.label for choice in asked("1,250 kg", "mass").choices]
    assert labels == ["1.250 kg", "1250 kg"]


def test_somebody_who_writes_a_decimal_comma_is_offered_one() -> None:
    """In the label and in what is typed."""
    assert entries(asked("12.500 in", "length", decimal_comma=True)) == ["012,500 in", "12500 in"]
    assert entries(asked("12,5", "voltage", decimal_comma=True)) == ["12,5 V", "12,5 mV"]


def test_ounces_are_asked_with_a_word_about_weight() -> None:
    """16 oz of grease is no volume."""
    assert asked("16 oz", "volume").why == phrase("which-volume", typed="16 oz")


@pytest.mark.parametrize(
    ("text", "quantity", "first", "also"),
    [
        ("170 ft lb (230 Nm)", "torque", ("170", "ft·lbf"), ("230", "N·m")),
        ("14 in / 356 mm", "length", ("14", "in"), ("356", "mm")),
        ("14 in 356 mm", "length", ("14", "in"), ("356", "mm")),
        ("24 N·m [18 lb-ft]", "torque", ("24", "N·m"), ("18", "ft·lbf")),
        ("1'2\" = 356 mm", "length", ("14", "in"), ("356", "mm")),
        ("4 qt (3.8 L)", "volume", ("4", "US qt"), ("3.8", "L")),
        ("1,250 ft-lb (1695 Nm)", "torque", ("1250", "ft·lbf"), ("1695", "N·m")),
        ("23 °F (-5 °C)", "temperature", ("23", "°F"), ("-5", "°C")),
        ("32 °F / 0 °C", "temperature", ("32", "°F"), ("0", "°C")),
    ],
)
def test_two_units_that_agree_are_one_value(
    text: str, quantity: str, first: tuple[str, str], also: tuple[str, str]
) -> None:
    """The second checks the first and settles what the first leaves open."""
    result = typed(text, quantity)
    assert (result.measured, result.also) == (value(*first), value(*also))


# Errors in print: one chart's 334 and 225 N·m, a wheel table made with a factor of 1.3, a drawbar
# sheet's lug torque, a gearbox capacity, a safety page's speed. The right values: NIST SP 811.
@pytest.mark.parametrize(
    ("text", "quantity", "typed", "same", "printed"),
    [
        ("172 lb-ft (334 Nm)", "torque", "172 ft·lbf", "233.2 N·m", "334 N·m"),
        ("155 lb-ft (225 Nm)", "torque", "155 ft·lbf", "210.2 N·m", "225 N·m"),
        ("90 lbf-ft (117 Nm)", "torque", "90 ft·lbf", "122 N·m", "117 N·m"),
        ("120 lbf-ft (156 Nm)", "torque", "120 ft·lbf", "162.7 N·m", "156 N·m"),
        ("20 lbf-ft = 26 N-m", "torque", "20 ft·lbf", "27.12 N·m", "26 N·m"),
        ("25 lbf-ft = 32.5 N-m", "torque", "25 ft·lbf", "33.9 N·m", "32.5 N·m"),
        ("15 US fl oz (283 ml)", "volume", "15 US fl oz", "443.6 mL", "283 mL"),
        ("283 ml (15 fl oz)", "volume", "283 mL", "9.569 US fl oz", "15 US fl oz"),
        ("600 ft/s (250 m/s)", "speed", "600 ft/s", "182.88 m/s", "250 m/s"),
    ],
)
def test_two_units_that_contradict_each_other_are_asked(
    text: str, quantity: str, typed: str, same: str, printed: str
) -> None:
    """Misprints really seen; a technician copies them."""
    why = phrase("two-values-differ", typed=typed, same=same, printed=printed)
    assert asked(text, quantity).why == why


def test_the_gap_allowed_between_two_units_is_two_percent() -> None:
    """House rule: more than rounding to whole numbers of either unit makes."""
    assert typed("100 N·m (9.8 daN·m)", "torque").also
    assert entries(asked("100 N·m (9.79 daN·m)", "torque")) == ["100 N·m", "9.79 daN·m"]


@pytest.mark.parametrize(
    ("text", "quantity", "why"),
    [
        ("", "torque", phrase("nothing-typed")),
        ("ft-lb", "torque", phrase("no-number", typed="ft-lb")),
        ("twelve", "torque", phrase("no-number", typed="twelve")),
        ("1e400 mm", "length", phrase("power-of-ten")),
        ("9999999999 mm", "length", phrase("number-too-large")),
        ("1234567890123456 mm", "length", phrase("too-many-digits", typed="1234567890123456")),
        ("5" * 201, "length", phrase("too-long")),
        ("१४ in", "length", phrase("not-a-digit", character="१")),
        ("-5 Nm", "torque", phrase("not-negative", quantity=QuantityName("torque"))),
        ("torque 170 ft-lb", "torque", phrase("number-first", typed="torque")),
        ("170 ± 5 Nm", "torque", phrase("with-uncertainty")),
        ("13 9/8 in", "length", phrase("not-a-fraction", typed="9/8")),
        ("450 110/95", "torque", phrase("not-a-fraction", typed="110/95")),
        ("450 95/110", "torque", phrase("whole-and-odd-fraction", whole="450", fraction="95/110")),
        ("-300 °C", "temperature", phrase("below-absolute-zero", typed="-300 °C")),
        ("-20 psi", "pressure", phrase("below-vacuum", typed="-20 psi")),
        ("13 of 12", "count", phrase("more-than-all", typed="13 / 12")),
        ("not measured", "torque", phrase("reason-missing")),
        ("85 to 100 Nm", "torque", phrase("range")),
        ("7/0 in", "length", phrase("not-a-fraction", typed="7/0")),
        ("1,25,50 mm", "length", phrase("not-one-number", typed="1,25,50")),
        ("12.50,5.5 mm", "length", phrase("not-one-number", typed="12.50,5.5")),
    ],
)
def test_junk_is_refused_with_what_is_wrong(text: str, quantity: str, why: Phrase) -> None:
    """The code says what stands in the way; its sentence what to type."""
    assert refused(text, quantity) == why


def test_an_unknown_unit_and_a_unit_of_another_quantity_are_named_with_examples() -> None:
    """A unit nobody uses, and a tire's pressure in a wheel nut's box."""
    length, torque = QuantityName("length"), QuantityName("torque")
    assert refused("14 furlong", "length") == phrase(
        "unknown-unit", unit="furlong", quantity=length, examples=("in", "mm")
    )
    assert refused("35 psi", "torque") == phrase(
        "unit-of-another-quantity",
        unit="psi",
        other=QuantityName("pressure"),
        quantity=torque,
        examples=("ft·lbf", "N·m"),
    )
