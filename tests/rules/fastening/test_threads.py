"""Thread dimensions against ASME B1.1 and ISO 898-1 tables."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.fastening.threads import (
    SERIES,
    THREADS,
    dimensions,
    stress_area_high_strength,
    stress_area_inch,
    stress_area_metric,
    threads_in,
)

SQUARE_INCH = 0.0254**2

# ASME B1.1 stress areas in in², as five charts and a nut standard print them.
INCH_AREAS = {
    "1/4-20 UNC": 0.0318, "1/4-28 UNF": 0.0364, "5/16-18 UNC": 0.0524, "5/16-24 UNF": 0.0580,
    "3/8-16 UNC": 0.0775, "3/8-24 UNF": 0.0878, "7/16-14 UNC": 0.1063, "7/16-20 UNF": 0.1187,
    "1/2-13 UNC": 0.1419, "1/2-20 UNF": 0.1599, "9/16-12 UNC": 0.182, "9/16-18 UNF": 0.203,
    "5/8-11 UNC": 0.226, "5/8-18 UNF": 0.256, "3/4-10 UNC": 0.334, "3/4-16 UNF": 0.373,
    "7/8-9 UNC": 0.462, "7/8-14 UNF": 0.509, "1-8 UNC": 0.606, "1-12 UNF": 0.663,
    "1-14 UNS": 0.6799, "1-1/8-7 UNC": 0.763, "1-1/4-7 UNC": 0.969, "1-3/8-6 UNC": 1.155,
    "1-1/2-6 UNC": 1.405,
}  # fmt: skip
# ISO 898-1 stress areas in mm².
METRIC_AREAS = {
    "M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M7": 28.9, "M8": 36.6, "M10": 58.0,
    "M12": 84.3, "M14": 115, "M16": 157, "M18": 192, "M20": 245, "M22": 303, "M24": 353,
    "M27": 459, "M30": 561, "M33": 694, "M36": 817, "M39": 976,
}  # fmt: skip
# Fine pitches, value from memory.
FINE_AREAS = {
    "M8x1": 39.2, "M10x1.25": 61.2, "M12x1.25": 92.1, "M12x1.5": 88.1, "M14x1.5": 125,
    "M16x1.5": 167, "M20x1.5": 272, "M24x2": 384,
}  # fmt: skip

diameters = st.floats(0.003, 0.1)
fractions_of_diameter = st.floats(0.07, 0.3)


@pytest.mark.parametrize(("name", "area"), INCH_AREAS.items())
def test_inch_stress_areas_agree_with_the_table(name: str, area: float) -> None:
    """ASME B1.1: within 0.15 %, the rounding of the table."""
    assert THREADS[name].stress_area / SQUARE_INCH == pytest.approx(area, rel=0.0015)


@pytest.mark.parametrize(("name", "area"), (METRIC_AREAS | FINE_AREAS).items())
def test_metric_stress_areas_agree_with_the_table(name: str, area: float) -> None:
    """ISO 898-1: within 0.4 %, the rounding of the table; fine pitches: value from memory."""
    assert dimensions(name).stress_area * 1e6 == pytest.approx(area, rel=0.004)


def test_half_inch_coarse_thread_has_its_published_area() -> None:
    """ASME B1.1: 1/2-13 UNC, 0.1419 in²; 91.55 mm² by conversion."""
    area = dimensions("1/2-13 UNC").stress_area
    assert round(area / SQUARE_INCH, 4) == 0.1419
    assert round(area * 1e6, 2) == 91.55


def test_high_strength_area_takes_the_least_pitch_diameter() -> None:
    """Machinery's Handbook, restated: 1/2-13 UNC-2A, Es,min 0.4435 in, 0.13757 in²."""
    area = stress_area_high_strength(0.4435 * 0.0254, 0.0254 / 13)
    assert area / SQUARE_INCH == pytest.approx(0.13757, abs=5e-6)


def test_fine_thread_of_one_inch_is_twelve_to_the_inch() -> None:
    """ASME B1.1: UNF is 1-12 (0.663 in²); the 1-14 many charts print is a special, 2.5 % larger."""
    assert "1-14 UNF" not in THREADS
    special, fine = THREADS["1-14 UNS"].stress_area, THREADS["1-12 UNF"].stress_area
    assert special / fine == pytest.approx(1.025, abs=0.001)


def test_a_metric_size_alone_means_the_coarse_pitch() -> None:
    """ISO 261: M12 is 1.75 mm; finer pitches are written out."""
    assert dimensions("M12").pitch == 0.00175
    assert dimensions("M12x1.25").pitch == 0.00125
    assert dimensions("M12x1.25").stress_area > dimensions("M12").stress_area


def test_metric_area_is_that_of_the_mean_of_pitch_and_root_diameter() -> None:
    """ISO 898-1 defines As by (d2 + d3) / 2; the short formula is the same to a millionth."""
    for thread in threads_in("metric coarse"):
        mean = (thread.pitch_diameter + thread.root_diameter) / 2
        assert thread.stress_area == pytest.approx(math.pi / 4 * mean**2, rel=1e-6)


@pytest.mark.parametrize("series", SERIES)
def test_within_a_series_larger_sizes_have_larger_areas(series: str) -> None:
    """No row of the thread table stands out of order."""
    areas = [(thread.diameter, thread.stress_area) for thread in threads_in(series)]
    assert areas == sorted(areas)


def test_a_pitch_typed_as_threads_per_inch_is_refused() -> None:
    """13 per inch typed as a pitch of 9 mm: no thread is that coarse."""
    with pytest.raises(RuleRefusal) as refusal:
        stress_area_inch(0.0127, 0.009)
    assert refusal.value.field == "pitch"


def test_an_unknown_designation_is_refused_by_name() -> None:
    """M11 is no preferred size."""
    with pytest.raises(RuleRefusal) as refusal:
        RULES["threads.dimensions"](thread="M11")
    assert refusal.value.field == "thread"


@settings(max_examples=60)
@given(diameter=diameters, fraction=fractions_of_diameter)
def test_stress_area_lies_between_root_and_shank(diameter: float, fraction: float) -> None:
    """A thread is weaker than its shank and stronger than its root alone."""
    pitch = fraction * diameter
    root = math.pi / 4 * (diameter - 1.226869 * pitch) ** 2
    shank = math.pi / 4 * diameter**2
    for area in (stress_area_inch(diameter, pitch), stress_area_metric(diameter, pitch)):
        assert root < area < shank


@settings(max_examples=60)
@given(diameter=diameters, fraction=fractions_of_diameter)
def test_stress_area_does_not_depend_on_the_unit_of_length(
    diameter: float, fraction: float
) -> None:
    """Twice the thread, four times the area: the formula holds in inches as in meters."""
    pitch = fraction * diameter
    for area in (stress_area_inch, stress_area_metric, stress_area_high_strength):
        assert area(2 * diameter, 2 * pitch) == pytest.approx(4 * area(diameter, pitch))
