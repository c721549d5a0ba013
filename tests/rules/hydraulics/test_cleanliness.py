"""ISO 4406 codes: the printed limits, their edges, and codes that cannot be."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.hydraulics import cleanliness

many = settings(max_examples=60, derandomize=True)

MILLILITER = 1e6  # particles/m^3 in one particle/mL

# Scale number, more than, up to: ISO 4406 as restated in a filtration handbook.
PRINTED = [
    (10, 5, 10),
    (11, 10, 20),
    (12, 20, 40),
    (13, 40, 80),
    (14, 80, 160),
    (15, 160, 320),
    (16, 320, 640),
    (17, 640, 1300),
    (18, 1300, 2500),
    (19, 2500, 5000),
    (20, 5000, 10_000),
    (21, 10_000, 20_000),
    (22, 20_000, 40_000),
    (23, 40_000, 80_000),
    (24, 80_000, 160_000),
    (25, 160_000, 320_000),
    (26, 320_000, 640_000),
]

codes = st.lists(st.integers(0, 28), min_size=3, max_size=3).map(
    lambda numbers: tuple(sorted(numbers, reverse=True))
)


@pytest.mark.parametrize(("number", "least", "most"), PRINTED)
def test_each_scale_number_ends_at_its_printed_limit(number: int, least: int, most: int) -> None:
    """More than the first, up to and including the second; inclusion is a value from memory."""
    assert cleanliness.scale_number(most) == number
    assert cleanliness.scale_number(most * 1.0001) == number + 1
    assert cleanliness.scale_number(least) == number - 1


@pytest.mark.parametrize(("number", "least", "most"), PRINTED)
def test_a_printed_limit_is_near_a_hundredth_of_a_power_of_two(
    number: int, least: int, most: int
) -> None:
    """0.01 x 2^N rounded: within 5 %, an independent form of the same table."""
    assert most == pytest.approx(0.01 * 2**number, rel=0.05)
    assert least < most


def test_the_printed_limit_decides_and_not_the_power_of_two() -> None:
    """2550 per mL lies under 2^18 / 100 = 2621 and is yet 19, because 18 is printed to 2500."""
    assert cleanliness.scale_number(2550) == 19


def test_nineteen_sixteen_thirteen_is_read_as_the_handbook_reads_it() -> None:
    """Filtration handbook: 2500-5000, 320-640, 40-80 per mL."""
    particles = cleanliness.counts_from_code((19, 16, 13))
    ranges = [
        (one.least, one.most) for one in (particles.at_4_um, particles.at_6_um, particles.at_14_um)
    ]
    assert ranges == [
        (2500 * MILLILITER, 5000 * MILLILITER),
        (320 * MILLILITER, 640 * MILLILITER),
        (40 * MILLILITER, 80 * MILLILITER),
    ]


def test_ten_codes_are_about_a_thousandfold() -> None:
    """Printed rule; 2^10 = 1024."""
    assert cleanliness.UPPER[20] / cleanliness.UPPER[10] == 1000


@many
@given(codes)
def test_a_code_comes_back_from_its_own_upper_counts(code: tuple[int, int, int]) -> None:
    """Read to ranges and written again."""
    particles = cleanliness.counts_from_code(code)
    counts = (particles.at_4_um.most, particles.at_6_um.most, particles.at_14_um.most)
    assert cleanliness.code_from_counts(*counts).code == "/".join(map(str, code))
    assert cleanliness.read_code(cleanliness.code_from_counts(*counts).code) == code


@many
@given(codes, codes)
def test_of_two_codes_at_least_one_is_not_dirtier_unless_they_cross(
    one: tuple[int, int, int], other: tuple[int, int, int]
) -> None:
    """The excess of one against the other is the negative of the reverse."""
    forth, back = cleanliness.compare(one, other), cleanliness.compare(other, one)
    assert forth.excess_4_um == -back.excess_4_um
    assert forth.excess_6_um == -back.excess_6_um
    assert forth.excess_14_um == -back.excess_14_um
    if one == other:
        assert forth.finding == "clean-enough"


def test_one_number_too_high_is_dirtier() -> None:
    """Cleaner at one size does not make up for another."""
    assert cleanliness.compare((18, 16, 14), (19, 16, 13)).finding == "dirtier"
    assert cleanliness.compare((19, 16, 13), (19, 16, 13)).finding == "clean-enough"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("18/20/22", "cleanliness-code-rises"),
        ("29/16/13", "scale-number-too-large"),
        ("16/13", "not-a-cleanliness-code"),
        (">28/20/18", "not-a-cleanliness-code"),
        ("", "not-a-cleanliness-code"),
    ],
)
def test_text_that_is_no_code_is_refused(text: str, code: str) -> None:
    """18/20/22 is the invalid code of the handbook; above 28 the scale is open."""
    with pytest.raises(RuleRefusal, match=code) as refusal:
        cleanliness.read_code(text)
    assert refusal.value.field == "code"


def test_spaces_in_a_code_do_not_matter() -> None:
    """People type it with and without."""
    assert cleanliness.read_code(" 19 / 16 / 13 ") == (19, 16, 13)


def test_half_a_scale_number_or_two_numbers_are_refused_by_name() -> None:
    """A code is three whole numbers."""
    for measured in ((18.5, 16, 13), (18, 16)):
        with pytest.raises(RuleRefusal, match="not-a-cleanliness-code") as refusal:
            cleanliness.compare(measured, (19, 16, 13))
        assert refusal.value.field == "measured"


@pytest.mark.parametrize(
    ("counts", "field"),
    [((100e6, 200e6, 10e6), "at_6_um"), ((200e6, 100e6, 101e6), "at_14_um")],
)
def test_more_large_particles_than_small_ones_are_refused(
    counts: tuple[float, float, float], field: str
) -> None:
    """A particle over 14 um is over 6 and over 4 um too."""
    with pytest.raises(RuleRefusal, match="particle-counts-rise") as refusal:
        cleanliness.code_from_counts(*counts)
    assert refusal.value.field == field
