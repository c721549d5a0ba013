"""Hydraulic flare connections: torque and turn by dash size.

The figures are for the 37° flare of SAE J514, steel, threads lubricated. Manufacturers' charts
differ; theirs go first.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.quantities.unit_table import FOOT, POUND_FORCE

FOOT_POUND: Final = float(FOOT * POUND_FORCE)
FLAT: Final = math.tau / 6  # one flat of a hexagon

# Dash size: thread, lbf-ft of the older chart (three implement manuals agree), least and greatest
# lbf-ft of the newer one, which does not list every size.
FLARES: Final[dict[int, tuple[str, int, tuple[int, int] | None]]] = {
    3: ("3/8-24", 6, None),
    4: ("7/16-20", 9, (11, 12)),
    5: ("1/2-20", 12, (14, 16)),
    6: ("9/16-18", 18, (20, 22)),
    8: ("3/4-16", 34, (44, 48)),
    10: ("7/8-14", 46, (50, 58)),
    12: ("1-1/16-12", 75, (79, 88)),
    14: ("1-3/16-12", 90, None),
    16: ("1-5/16-12", 105, (117, 125)),
    20: ("1-5/8-12", 140, None),
    24: ("1-7/8-12", 160, None),
}
DASHES: Final = tuple(FLARES)

# Largest dash and flats from finger tight. Two flats for small sizes, then 1-1/4 to 1, in print;
# where one ends and the next begins: value from memory.
FLATS: Final = ((5, 2.0), (6, 1.25), (24, 1.0))


@dataclass(frozen=True)
class FlareTorque:
    """Torque of a flare nut; least and greatest are alike where the chart prints one figure."""

    thread: str
    least: Annotated[float, Unit("N·m")]
    greatest: Annotated[float, Unit("N·m")]


@rule("fittings.flare_torque")
def flare_torque(
    dash: Annotated[int, OneOf(DASHES)],
    chart: Annotated[str, OneOf(("older", "newer"))] = "older",
) -> FlareTorque:
    """Torque of a 37° flare nut.

    Inputs:
        dash: one of 3, 4, 5, 6, 8, 10, 12, 14, 16, 20, 24. Tube size in sixteenths of an inch.
        chart: one of older, newer. Which of the two published charts; the newer asks for more
            and leaves out sizes 3, 14, 20 and 24.
    Result: thread of the nut, least and greatest torque in N·m.
    Formula: read from a table.
    Source: implement manuals for SAE J514 37° flares, lubricated.
    Example: size 8 -> 34 lbf-ft, printed beside it as 46 N·m.

        >>> flare_torque(8).thread, round(flare_torque(8).least)
        ('3/4-16', 46)
    """
    thread, older, newer = FLARES[dash]
    if chart == "older":
        return FlareTorque(thread, older * FOOT_POUND, older * FOOT_POUND)
    if newer is None:
        raise RuleRefusal("dash", "size-not-in-newer-chart", dash=dash)
    least, greatest = newer
    return FlareTorque(thread, least * FOOT_POUND, greatest * FOOT_POUND)


@dataclass(frozen=True)
class FlareTurn:
    """Turn of a flare nut from finger tight."""

    flats: Annotated[float, Unit("1")]
    angle: Annotated[float, Unit("rad")]


@rule("fittings.flare_turn")
def flare_turn(dash: Annotated[int, OneOf(DASHES)]) -> FlareTurn:
    """Turn of a 37° flare nut from finger tight.

    Inputs:
        dash: one of 3, 4, 5, 6, 8, 10, 12, 14, 16, 20, 24. Tube size in sixteenths of an inch.
    Result: flats of the hexagon (1) and the angle (rad).
    Formula: angle = flats x 60 deg; two flats up to size 5, 1-1/4 for size 6, one above.
    Source: implement manuals, SAE J514 (the sizes at which the figure changes: value from memory).
    Example: a small size takes two flats, a third of a turn.

        >>> flare_turn(4).flats, round(math.degrees(flare_turn(4).angle))
        (2.0, 120)
    """
    flats = next(flats for largest, flats in FLATS if dash <= largest)
    return FlareTurn(flats, flats * FLAT)


@rule("fittings.flats_turned")
def flats_turned(angle: Annotated[float, In("rad", 0.0, 20.0)]) -> Annotated[float, Unit("1")]:
    """Hexagon flats for an angle of turn.

    Inputs:
        angle: rad, 0 to 20. Turn of the nut from the line marked at finger tight.
    Result: 1, flats.
    Formula: flats = angle / 60 deg.
    Source: geometry of a hexagon.
    Example: 60 deg -> one flat.

        >>> flats_turned(math.radians(60))
        1.0
    """
    return angle / FLAT
