"""Screw threads by designation: diameter, pitch and the areas that carry load."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.quantities.unit_table import INCH, MILLI

# Size in inches and threads per inch. ASME B1.1. The fine thread of 1 in is 12 to the inch; 14 to
# the inch is a special (UNS) that many charts print under "fine".
INCH_THREADS: Final[dict[str, tuple[tuple[str, int], ...]]] = {
    "UNC": (
        ("1/4", 20), ("5/16", 18), ("3/8", 16), ("7/16", 14), ("1/2", 13), ("9/16", 12),
        ("5/8", 11), ("3/4", 10), ("7/8", 9), ("1", 8), ("1-1/8", 7), ("1-1/4", 7),
        ("1-3/8", 6), ("1-1/2", 6),
    ),
    "UNF": (
        ("1/4", 28), ("5/16", 24), ("3/8", 24), ("7/16", 20), ("1/2", 20), ("9/16", 18),
        ("5/8", 18), ("3/4", 16), ("7/8", 14), ("1", 12), ("1-1/8", 12), ("1-1/4", 12),
        ("1-3/8", 12), ("1-1/2", 12),
    ),
    "UNS": (("1", 14),),
}  # fmt: skip

# Diameter and pitch in millimeters. ISO 261 choices; coarse pitches as tabulated in ISO 898-1.
METRIC_COARSE: Final = (
    ("3", "0.5"), ("4", "0.7"), ("5", "0.8"), ("6", "1"), ("7", "1"), ("8", "1.25"),
    ("10", "1.5"), ("12", "1.75"), ("14", "2"), ("16", "2"), ("18", "2.5"), ("20", "2.5"),
    ("22", "2.5"), ("24", "3"), ("27", "3"), ("30", "3.5"), ("33", "3.5"), ("36", "4"),
    ("39", "4"),
)  # fmt: skip
METRIC_FINE: Final = (
    ("8", "1"), ("10", "1.25"), ("12", "1.5"), ("12", "1.25"), ("14", "1.5"), ("16", "1.5"),
    ("18", "1.5"), ("20", "1.5"), ("22", "1.5"), ("24", "2"),
)  # fmt: skip
SERIES: Final = ("UNC", "UNF", "UNS", "metric coarse", "metric fine")


@dataclass(frozen=True)
class Thread:
    """One thread as designated; lengths in m."""

    designation: str
    diameter: float
    pitch: float
    series: str

    @property
    def metric(self) -> bool:
        """Whether it is a metric thread."""
        return self.series.startswith("metric")

    @property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter d2 of the 60° profile, m."""
        return self.diameter - 0.649519 * self.pitch

    @property
    def root_diameter(self) -> float:
        """Root diameter d3 of the external thread, m."""
        return self.diameter - 1.226869 * self.pitch

    @property
    def stress_area(self) -> float:
        """Area that carries tension, m²; inch and metric standards differ in the last digits."""
        return (stress_area_metric if self.metric else stress_area_inch)(self.diameter, self.pitch)


def _inch_threads() -> list[Thread]:
    return [
        Thread(
            f"{size}-{per_inch} {series}",
            float(sum(Fraction(part) for part in size.split("-")) * INCH),
            float(INCH / per_inch),
            series,
        )
        for series, rows in INCH_THREADS.items()
        for size, per_inch in rows
    ]


def _metric_threads() -> list[Thread]:
    coarse = [(f"M{d}", d, p, "metric coarse") for d, p in METRIC_COARSE]
    fine = [(f"M{d}x{p}", d, p, "metric fine") for d, p in METRIC_FINE]
    return [
        Thread(name, float(Fraction(d) * MILLI), float(Fraction(p) * MILLI), series)
        for name, d, p, series in coarse + fine
    ]


THREADS: Final = {thread.designation: thread for thread in _inch_threads() + _metric_threads()}

ThreadName = Annotated[str, OneOf(tuple(THREADS))]


def threads_in(series: str) -> tuple[Thread, ...]:
    """The threads of one series, smallest first."""
    return tuple(thread for thread in THREADS.values() if thread.series == series)


@dataclass(frozen=True)
class ThreadDimensions:
    """What a thread's designation stands for."""

    diameter: Annotated[float, Unit("m")]
    pitch: Annotated[float, Unit("m")]
    pitch_diameter: Annotated[float, Unit("m")]
    root_diameter: Annotated[float, Unit("m")]
    stress_area: Annotated[float, Unit("m^2")]


@rule("threads.dimensions")
def dimensions(thread: ThreadName) -> ThreadDimensions:
    """Dimensions of a thread by its designation.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. Size
            and pitch as stamped on the drawing; a metric size alone is the coarse pitch.
    Result: diameter, pitch, pitch diameter and root diameter in m, stress area in m^2.
    Formula: d2 = d - 0.649519 P; d3 = d - 1.226869 P; stress area as in the two rules below.
    Source: ASME B1.1 (inch) and ISO 898-1 (metric).
    Example: M12 -> 84.3 mm^2 in ISO 898-1, which rounds 84.27.

        >>> round(dimensions("M12").stress_area * 1e6, 1)
        84.3
    """
    row = THREADS[thread]
    return ThreadDimensions(
        row.diameter, row.pitch, row.pitch_diameter, row.root_diameter, row.stress_area
    )


@rule("threads.stress_area_inch")
def stress_area_inch(
    diameter: Annotated[float, In("m", 0.001, 0.16)],
    pitch: Annotated[float, In("m", 0.0002, 0.009)],
) -> Annotated[float, Unit("m^2")]:
    """Tensile stress area of an inch thread.

    Inputs:
        diameter: m, 0.001 to 0.16. Major diameter.
        pitch: m, 0.0002 to 0.009. One inch divided by the threads per inch.
    Result: m^2.
    Formula: At = (pi / 4) (D - 0.9743 p)^2.
    Source: ASME B1.1 and mechanical handbooks.
    Example: 1/2-13 UNC -> 0.1419 in^2.

        >>> round(stress_area_inch(0.0127, 0.0254 / 13) / 0.0254**2, 4)
        0.1419
    """
    _refuse_coarse(diameter, pitch)
    return math.pi / 4 * (diameter - 0.9743 * pitch) ** 2


@rule("threads.stress_area_metric")
def stress_area_metric(
    diameter: Annotated[float, In("m", 0.001, 0.16)],
    pitch: Annotated[float, In("m", 0.0002, 0.009)],
) -> Annotated[float, Unit("m^2")]:
    """Tensile stress area of a metric thread.

    Inputs:
        diameter: m, 0.001 to 0.16. Nominal diameter.
        pitch: m, 0.0002 to 0.009. Distance from crest to crest.
    Result: m^2.
    Formula: As = (pi / 4) ((d2 + d3) / 2)^2 = (pi / 4) (d - 0.938194 P)^2.
    Source: ISO 898-1.
    Example: M20 with a pitch of 2.5 mm -> 245 mm^2.

        >>> round(stress_area_metric(0.020, 0.0025) * 1e6)
        245
    """
    _refuse_coarse(diameter, pitch)
    return math.pi / 4 * (diameter - 0.938194 * pitch) ** 2


@rule("threads.stress_area_high_strength")
def stress_area_high_strength(
    least_pitch_diameter: Annotated[float, In("m", 0.001, 0.16)],
    pitch: Annotated[float, In("m", 0.0002, 0.009)],
) -> Annotated[float, Unit("m^2")]:
    """Tensile stress area of an inch thread in steel stronger than 180 000 psi.

    Inputs:
        least_pitch_diameter: m, 0.001 to 0.16. Smallest pitch diameter the thread class allows.
        pitch: m, 0.0002 to 0.009. One inch divided by the threads per inch.
    Result: m^2.
    Formula: At = pi (Es / 2 - 0.16238 p)^2.
    Source: mechanical handbooks, for steels over 180 000 psi (older texts: over 100 000 psi).
    Example: 1/2-13 UNC-2A, least pitch diameter 0.4435 in -> 0.13757 in^2.

        >>> round(stress_area_high_strength(0.4435 * 0.0254, 0.0254 / 13) / 0.0254**2, 5)
        0.13757
    """
    _refuse_coarse(least_pitch_diameter, pitch)
    return math.pi * (least_pitch_diameter / 2 - 0.16238 * pitch) ** 2


def _refuse_coarse(diameter: float, pitch: float) -> None:
    """Standard threads are finer than a third of their diameter; a coarser one is a slip."""
    if pitch > diameter / 3:
        raise RuleRefusal("pitch", "pitch-too-coarse")
