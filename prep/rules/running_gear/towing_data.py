"""Tables for towing on the road: chains, mass ratios and widths, each with its standing.

Law differs from place to place and changes. A row says where it was read and how sure it is; a
dealership adds the rows of its own roads.
"""

from dataclasses import dataclass
from typing import Final, Literal

from prep.rules.quantities.unit_table import FOOT, INCH

Standing = Literal["one-source", "one-source-with-conditions", "proposal", "from-memory"]

KM_H: Final = 1000 / 3600
MPH: Final = float(5280 * FOOT) / 3600

# Safety chain, working load limit in lbf by size in inches: grades 30, 43 and 70. A chain seller's
# chart, agreeing with 49 CFR 393.108 (value from memory).
CHAIN_LIMITS: Final[dict[str, dict[str, int]]] = {
    "1/4": {"30": 1300, "43": 2600, "70": 3150},
    "5/16": {"30": 1900, "43": 3900, "70": 4700},
    "3/8": {"30": 2650, "43": 5400, "70": 6600},
    "7/16": {"30": 3700, "43": 7200, "70": 8750},
    "1/2": {"30": 4500, "43": 9200, "70": 11_300},
    "5/8": {"30": 6900, "43": 13_000, "70": 15_800},
}
# Breaking force over working load limit, by the same chart.
CHAIN_FACTORS: Final = {"30": 4, "43": 3, "70": 4}
UNMARKED: Final = "unmarked"
UNMARKED_GRADE: Final = "30"  # university extension page: take a chain without marks as grade 30


@dataclass(frozen=True)
class MassStep:
    """One step of the mass rule: up to this speed, machines below `ratio` times the tractor.

    Manuals print the speed twice, and 20 mph is a little more than 32 km/h. Whoever drives at
    either keeps the rule; an answer names the lower.
    """

    km_h: float
    mph: float
    ratio: float

    @property
    def allowed(self) -> float:
        """Speed up to which the step holds, m/s."""
        return max(self.km_h * KM_H, self.mph * MPH)

    @property
    def stated(self) -> float:
        """Speed to name in an answer, m/s."""
        return min(self.km_h * KM_H, self.mph * MPH)


# Towed mass over ballasted tractor mass. One manufacturer's tractor manuals, several pages; no
# standard seen.
MASS_STEPS: Final[dict[str, tuple[MassStep, ...]]] = {
    "none": (MassStep(32, 20, 1.5),),
    "on the implement": (MassStep(40, 25, 4.5), MassStep(50, 31, 3.0)),
}


@dataclass(frozen=True)
class WidthRow:
    """Greatest transport width of one jurisdiction, m, with where it was read."""

    width: float
    standing: Standing
    source: str


WIDTHS: Final[dict[str, WidthRow]] = {
    "US, Interstate network": WidthRow(
        float(102 * INCH), "one-source", "US federal width of 102 in"
    ),
    "US, California, other roads": WidthRow(
        float(120 * INCH),
        "one-source-with-conditions",
        "California width for implements of 120 in",
    ),
    "US, Wisconsin, proposal": WidthRow(
        float(15 * FOOT),
        "proposal",
        "Wisconsin implements of husbandry task force, 15 ft",
    ),
    "EU and UK, general": WidthRow(2.55, "from-memory", "general width of 2.55 m"),
    "EU and UK, agricultural": WidthRow(3.0, "from-memory", "agricultural width of 3.0 m"),
}
