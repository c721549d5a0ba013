"""Tractor drawbar: distance and height from the PTO, category and vertical load.

The vertical geometry and the load formulas are older ASAE S203/S482 and SAE J1548 values in
published restatements; the current ISO 6489-3 tables could not be read and are not used.
"""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.phrase import Amount

PtoType = Annotated[int, OneOf((1, 2, 3, 4))]
Category = Annotated[str, OneOf(("I", "II", "III", "IV"))]
PowerClass = Annotated[str, OneOf(("30-100 hp", "60-170 hp", "135-300 hp"))]

INCH: Final = 0.0254
MICROMETER: Final = 6  # decimals of a meter: below any tape, above the noise of the arithmetic


@dataclass(frozen=True)
class Window:
    """Least and most of a length, both allowed."""

    least: Annotated[float, Unit("m")]
    most: Annotated[float, Unit("m")]


# PTO end to hitch-pin hole, in: 14, 16 and 20 in five or more independent publications (540 and
# 1000 rpm, 35 and 45 mm shafts). Nothing published was found for type 4.
DRAWBAR_DISTANCE: Final = {1: 14 * INCH, 2: 16 * INCH, 3: 20 * INCH}

# Some manufacturers print 350, 400 and 500 mm where others print 14, 16 and 20 in: up to 8 mm
# apart.
PRINTING_SPREAD: Final = 0.010

# Top of drawbar to PTO center line, and hitch-pin and clevis clearance plane below that line,
# in: older ASAE S203/S482 values restated in an operator manual.
PTO_HEIGHT: Final = {1: (8.0, 12.0), 2: (8.0, 14.0), 3: (10.0, 14.0)}
CLEVIS_CLEARANCE: Final = {1: (7.9, 8.8), 2: (7.9, 8.8), 3: (8.8, 10.0)}

# Top of drawbar above ground, in, by PTO power class; same source, seen once.
DRAWBAR_HEIGHT: Final = {
    "30-100 hp": (13.0, 20.0),
    "60-170 hp": (15.0, 22.0),
    "135-300 hp": (15.0, 22.0),
}

# Drawbar power in kW and vertical load kN = fixed + slope x power: SAE J1548 and ASAE S482
# restated. Category II is also printed "30-100"; at 75 its load curve meets category III's.
CATEGORY_POWER: Final = {"I": (15, 35), "II": (30, 75), "III": (60, 170), "IV": (135, 300)}
CATEGORY_LOAD: Final = {"I": (1.0, 0.15), "II": (1.0, 0.15), "III": (7.8, 0.06), "IV": (11.2, 0.04)}
POSITION_FACTOR: Final = {"regular": 1.0, "short": 1.6, "extended": 0.7}


def _published(table: dict[int, tuple[float, float]], pto_type: int) -> Window:
    _refuse_type_4(pto_type)
    least, most = table[pto_type]
    return Window(least * INCH, most * INCH)


def _refuse_type_4(pto_type: int) -> None:
    if pto_type not in DRAWBAR_DISTANCE:
        raise RuleRefusal("pto_type", "no-drawbar-dimension")


@rule("hitch.drawbar_distance")
def drawbar_distance(pto_type: PtoType) -> Annotated[float, Unit("m")]:
    """Distance from the end of the PTO shaft to the hitch pin hole.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
    Result: m.
    Formula: table by type. Set it before the driveline is measured or cut.
    Source: 14, 16 and 20 in, in five or more independent publications.
    Example: 540 rpm, 6 splines (type 1) -> 14 in (355.6 mm).

        >>> round(drawbar_distance(1), 4)
        0.3556
    """
    _refuse_type_4(pto_type)
    return DRAWBAR_DISTANCE[pto_type]


@rule("hitch.distance_window")
def distance_window(
    pto_type: PtoType,
    tolerance: Annotated[float, In("m", 0.006, 0.05)] = PRINTING_SPREAD,
) -> Window:
    """Drawbar distances that agree with the published one.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
        tolerance: m, 0.006 to 0.05. Either side. Tighter is senseless: manufacturers round to 350,
            400 or 500 mm as well as to 14, 16 or 20 in.
    Result: least and most in m.
    Formula: distance by type plus and minus the tolerance.
    Source: distance published; the default of 10 mm is our choice and covers both roundings.
    Example: type 1 -> holds both 350 mm and 356 mm.

        >>> window = distance_window(1)
        >>> window.least < 0.350 < 0.356 < window.most
        True
    """
    distance = drawbar_distance(pto_type)
    return Window(distance - tolerance, distance + tolerance)


@rule("hitch.distance_advice")
def distance_advice(
    pto_type: PtoType, measured: Annotated[float, In("m", 0.05, 1.5)]
) -> Advice | None:
    """Advice on a drawbar outside its distance.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
        measured: m, 0.05 to 1.5. End of PTO shaft to center of hitch pin, level.
    Result: advice in m; nothing where it stands at its distance.
    Formula: published distance less measured distance, to a thousandth of a millimeter.
    Source: 14, 16 and 20 in, in five or more independent publications; drawbar before driveline is
        published practice.
    Example: type 1 measured at 10 in -> pull it out 4 in.

        >>> round(distance_advice(1, 0.254).amount / 0.0254, 6)
        4.0
    """
    missing = round(drawbar_distance(pto_type) - measured, MICROMETER)
    if missing == 0:
        return None
    if missing > 0:
        return Advice("pull-drawbar-out", missing, "m")
    return Advice("push-drawbar-in", -missing, "m")


@rule("hitch.pto_height_window")
def pto_height_window(pto_type: PtoType) -> Window:
    """Height of the PTO's center line above the top of the drawbar.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
    Result: least and most in m.
    Formula: table by type.
    Source: older ASAE S203/S482 restated in a public operator manual.
    Example: type 1 -> 8.0 to 12.0 in (203 to 305 mm).

        >>> round(pto_height_window(1).least, 4), round(pto_height_window(1).most, 4)
        (0.2032, 0.3048)
    """
    return _published(PTO_HEIGHT, pto_type)


@rule("hitch.clevis_clearance_window")
def clevis_clearance_window(pto_type: PtoType) -> Window:
    """Clearance of hitch pin and clevis below the PTO's center line.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
    Result: least and most in m.
    Formula: table by type.
    Source: older ASAE S203/S482 restated in a public operator manual.
    Example: type 1 -> 7.9 to 8.8 in (201 to 224 mm).

        >>> round(clevis_clearance_window(1).least, 3), round(clevis_clearance_window(1).most, 3)
        (0.201, 0.224)
    """
    return _published(CLEVIS_CLEARANCE, pto_type)


@rule("hitch.drawbar_height_window")
def drawbar_height_window(power_class: PowerClass) -> Window:
    """Height of the top of the drawbar above ground.

    Inputs:
        power_class: one of 30-100 hp, 60-170 hp, 135-300 hp. The tractor's class; classes overlap.
    Result: least and most in m.
    Formula: table by class.
    Source: older ASAE S203/S482 restated in a public operator manual.
    Example: 30-100 hp -> 13 to 20 in (330 to 508 mm).

        >>> window = drawbar_height_window("30-100 hp")
        >>> round(window.least, 3), round(window.most, 3)
        (0.33, 0.508)
    """
    least, most = DRAWBAR_HEIGHT[power_class]
    return Window(least * INCH, most * INCH)


@rule("hitch.drawbar_categories")
def drawbar_categories(
    drawbar_power: Annotated[float, In("W", 15_000.0, 300_000.0)],
) -> tuple[str, ...]:
    """Drawbar categories for a tractor's power.

    Inputs:
        drawbar_power: W, 15000 to 300000. Power at the drawbar. The ranges overlap.
    Result: category names, smallest first.
    Formula: table: I 15-35, II 30-75, III 60-170, IV 135-300 kW.
    Source: SAE J1548-1993 and ASAE S482 restated (category II is also printed 30-100).
    Example: 100 kW -> III.

        >>> drawbar_categories(100_000)
        ('III',)
    """
    return tuple(
        name
        for name, (least, most) in CATEGORY_POWER.items()
        if least * 1000 <= drawbar_power <= most * 1000
    )


@rule("hitch.vertical_load_limit")
def vertical_load_limit(
    category: Category,
    drawbar_power: Annotated[float, In("W", 15_000.0, 300_000.0)],
    position: Annotated[str, OneOf(("regular", "short", "extended"))] = "regular",
    pto_type: PtoType = 1,
) -> Annotated[float, Unit("N")]:
    """Maximum static vertical load on the drawbar.

    Inputs:
        category: one of I, II, III, IV. Category of the drawbar.
        drawbar_power: W, 15000 to 300000. Power at the drawbar, within the category's range.
        position: one of regular, short, extended. Where the drawbar is pinned.
        pto_type: one of 1, 2, 3, 4. Other positions are published for type 1 only.
    Result: N.
    Formula: kN = 1 + 0.15 P (I, II), 7.8 + 0.06 P (III), 11.2 + 0.04 P (IV), P in kW;
        short x 1.6, extended x 0.7 (type 1).
    Source: SAE J1548-1993 and ASAE S482 restated; the tractor's manual goes before it.
    Example: category III at 100 kW -> 13.80 kN.

        >>> round(vertical_load_limit("III", 100_000))
        13800
    """
    least, most = CATEGORY_POWER[category]
    if not least * 1000 <= drawbar_power <= most * 1000:
        raise RuleRefusal(
            "drawbar_power",
            "power-outside-category",
            category=category,
            least=Amount(least * 1000.0, "W"),
            most=Amount(most * 1000.0, "W"),
            power=Amount(drawbar_power, "W"),
        )
    if position != "regular" and pto_type != 1:
        raise RuleRefusal("position", "position-for-type-1-only")
    fixed, slope = CATEGORY_LOAD[category]
    return (fixed * 1000 + slope * drawbar_power) * POSITION_FACTOR[position]
