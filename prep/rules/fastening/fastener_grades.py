"""Strength of bolts by grade and class, with the sizes at which the figures change.

Inch figures are in psi and sizes in inches, metric in MPa and mm, as the standards print them.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Final

from prep.rules.catalog.catalog import OneOf, RuleRefusal
from prep.rules.fastening.threads import Thread
from prep.rules.phrase import Amount
from prep.rules.quantities.unit_table import INCH, MILLI, POUND_FORCE

PSI: Final = POUND_FORCE / INCH**2
ANY_LENGTH: Final = float("inf")


@dataclass(frozen=True)
class StrengthRow:
    """One line of a standard: sizes `least` to `most`, bolts up to `longest`, stresses in Pa."""

    grade: str
    least: float
    most: float
    longest: float
    proof: float
    yield_: float
    tensile: float


def _inch(
    grade: str, least: float, most: float, ksi: tuple[int, int, int], longest: float = ANY_LENGTH
) -> StrengthRow:
    proof, yield_, tensile = (float(1000 * stress * PSI) for stress in ksi)
    # In fractions, so that a bolt of the largest size is exactly as large as its row allows.
    smallest, largest = (float(Fraction(size) * INCH) for size in (least, most))
    return StrengthRow(grade, smallest, largest, longest * float(INCH), proof, yield_, tensile)


def _metric(grade: str, least: int, most: int, mpa: tuple[int, int, int]) -> StrengthRow:
    proof, yield_, tensile = (stress * 1e6 for stress in mpa)
    smallest, largest = (float(Fraction(size) * MILLI) for size in (least, most))
    return StrengthRow(grade, smallest, largest, ANY_LENGTH, proof, yield_, tensile)


# Rows of one grade stand in order of size; the first that fits holds.
STRENGTHS: Final = (
    # SAE J429, restated by a university property page and three charts.
    _inch("grade 1", 0.25, 1.5, (33, 36, 60)),
    _inch("grade 2", 0.25, 0.75, (55, 57, 74), longest=6),
    _inch("grade 2", 0.25, 1.5, (33, 36, 60)),
    _inch("grade 5", 0.25, 1, (85, 92, 120)),
    _inch("grade 5", 0.25, 1.5, (74, 81, 105)),
    _inch("grade 5.2", 0.25, 1, (85, 92, 120)),
    _inch("grade 7", 0.25, 1.5, (105, 115, 133)),
    _inch("grade 8", 0.25, 1.5, (120, 130, 150)),
    # ASTM A307, A325, A449, A354, A490 by the sizes the published tables print. ASTM F3125 raised
    # A325 over 1 in to 120 ksi (value from memory); the lower, older figure is kept.
    _inch("A307", 0.25, 1.5, (33, 36, 60)),
    _inch("A325", 0.5, 1, (85, 92, 120)),
    _inch("A325", 0.5, 1.5, (74, 81, 105)),
    _inch("A449", 0.5, 1, (85, 92, 120)),
    _inch("A449", 0.5, 1.5, (74, 81, 105)),
    _inch("A354 BD", 0.25, 1.5, (120, 130, 150)),
    _inch("A490", 0.5, 1.5, (120, 130, 150)),
    # ISO 898-1.
    _metric("class 4.6", 5, 39, (225, 240, 400)),
    _metric("class 4.8", 3, 16, (310, 340, 420)),
    _metric("class 5.8", 5, 24, (380, 420, 520)),
    _metric("class 8.8", 3, 16, (580, 640, 800)),
    _metric("class 8.8", 3, 39, (600, 660, 830)),
    _metric("class 9.8", 3, 16, (650, 720, 900)),
    _metric("class 10.9", 5, 39, (830, 940, 1040)),
    _metric("class 12.9", 3, 39, (970, 1100, 1220)),
)
GRADES: Final = tuple(dict.fromkeys(row.grade for row in STRENGTHS))

GradeName = Annotated[str, OneOf(GRADES)]


def strength_row(thread: Thread, grade: str, length: float | None = None) -> StrengthRow:
    """The line of the standard that holds for this bolt.

    Raises RuleRefusal when the grade does not go with the thread or is not made in its size.
    """
    if thread.metric != grade.startswith("class"):
        if thread.metric:
            raise RuleRefusal(
                "grade", "inch-grade-on-metric-thread", thread=thread.designation, grade=grade
            )
        raise RuleRefusal(
            "grade", "metric-class-on-inch-thread", thread=thread.designation, grade=grade
        )
    rows = [row for row in STRENGTHS if row.grade == grade]
    for row in rows:
        fits = row.least <= thread.diameter <= row.most
        if fits and (length is None or length <= row.longest):
            return row
    unit = "mm" if thread.metric else "in"
    raise RuleRefusal(
        "thread",
        "no-strength-published",
        grade=grade,
        thread=thread.designation,
        least=Amount(rows[0].least, "m", shown_in=unit),
        most=Amount(rows[-1].most, "m", shown_in=unit),
    )


# Nuts. SAE J995, in ksi: coarse threads, then fine (fine for grades 2 and 5: value from memory).
# Each entry: (largest size in inches, stress).
INCH_NUTS: Final[dict[str, dict[str, tuple[tuple[float, int], ...]]]] = {
    "UNC": {
        "nut grade 2": ((1.5, 90),),
        "nut grade 5": ((1, 120), (1.5, 105)),
        "nut grade 8": ((1.5, 150),),
    },
    "UNF": {
        "nut grade 2": ((1.5, 80),),
        "nut grade 5": ((1, 109),),
        "nut grade 8": ((1.5, 150),),
    },
}
# ISO 898-2 proof loads in newtons, coarse pitch, classes 8, 10 and 12.
METRIC_NUTS: Final[dict[str, tuple[int, int, int]]] = {
    "M6": (17_200, 20_900, 23_100),
    "M8": (31_800, 38_100, 42_500),
    "M10": (50_500, 60_300, 67_300),
    "M12": (74_200, 88_500, 100_300),
    "M16": (138_200, 164_900, 186_800),
    "M20": (225_400, 259_700, 294_000),
    "M24": (324_800, 374_200, 423_600),
    "M30": (516_100, 594_700, 673_200),
}
METRIC_NUT_CLASSES: Final = ("nut class 8", "nut class 10", "nut class 12")
NUTS: Final = (*INCH_NUTS["UNC"], *METRIC_NUT_CLASSES)

NutName = Annotated[str, OneOf(NUTS)]


def nut_load(thread: Thread, nut: str) -> float:
    """Proof load of a nut in N; RuleRefusal when none is published for this thread."""
    if thread.metric != (nut in METRIC_NUT_CLASSES):
        raise RuleRefusal("nut", "nut-for-other-thread", nut=nut, thread=thread.designation)
    if nut in METRIC_NUT_CLASSES:
        if thread.designation in METRIC_NUTS:
            return float(METRIC_NUTS[thread.designation][METRIC_NUT_CLASSES.index(nut)])
    else:
        for largest, ksi in INCH_NUTS.get(thread.series, {}).get(nut, ()):
            if thread.diameter <= float(Fraction(largest) * INCH):
                return float(1000 * ksi * PSI) * thread.stress_area
    raise RuleRefusal("thread", "no-nut-load", nut=nut, thread=thread.designation)
