"""Tractor drawbar and weight: where the hitch pin stands, what it may carry, what it unloads.

The vertical geometry and the load formulas are older ASAE S203/S482 and SAE J1548 values in
published restatements; the current ISO 6489-3 tables could not be read and are not used.
"""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.advice import Advice
from prep.rules.catalogue import In, OneOf, RuleRefusal, Unit, rule

PtoType = Annotated[int, OneOf((1, 2, 3, 4))]
Category = Annotated[str, OneOf(("I", "II", "III", "IV"))]
PowerClass = Annotated[str, OneOf(("30-100 hp", "60-170 hp", "135-300 hp"))]
Mass = Annotated[float, In("kg", 100.0, 40_000.0)]
Load = Annotated[float, In("N", -20_000.0, 60_000.0)]

INCH: Final = 0.0254
GRAVITY: Final = 9.80665  # m/s^2, standard value
KM_PER_HOUR: Final = 1 / 3.6


@dataclass(frozen=True)
class Window:
    """Least and most of a length, both allowed."""

    least: Annotated[float, Unit("m")]
    most: Annotated[float, Unit("m")]


@dataclass(frozen=True)
class AxleLoads:
    """Static axle loads with the machine attached, and the front's part of their sum."""

    front: Annotated[float, Unit("N")]
    rear: Annotated[float, Unit("N")]
    front_share: Annotated[float, Unit("1")]


# PTO end to hitch-pin hole, in: 14, 16 and 20 in five or more independent publications (540 and
# 1000 rpm, 35 and 45 mm shafts). Nothing published was found for type 4.
DRAWBAR_DISTANCE: Final = {1: 14 * INCH, 2: 16 * INCH, 3: 20 * INCH}

# Some makers print 350, 400 and 500 mm where others print 14, 16 and 20 in: up to 8 mm apart.
PRINTING_SPREAD: Final = 0.010

# Top of drawbar to PTO centre line, and hitch-pin and clevis clearance plane below that line,
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

# Greatest machine mass over ballasted tractor mass, by brakes and top speed in km/h: one maker's
# public manuals. An unbraked machine may not go faster than 32 km/h at all.
UNBRAKED: Final = (32.0, 1.5)
BRAKED: Final = ((40.0, 4.5), (50.0, 3.0))


def _published(table: dict[int, tuple[float, float]], pto_type: int) -> Window:
    _refuse_type_4(pto_type)
    least, most = table[pto_type]
    return Window(least * INCH, most * INCH)


def _refuse_type_4(pto_type: int) -> None:
    if pto_type not in DRAWBAR_DISTANCE:
        raise RuleRefusal(
            "pto_type",
            "No drawbar dimension is published for a type 4 PTO. Use the tractor's manual.",
        )


@rule("hitch.drawbar_distance")
def drawbar_distance(pto_type: PtoType) -> Annotated[float, Unit("m")]:
    """Distance from the end of the PTO shaft back to the hitch pin.

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
        tolerance: m, 0.006 to 0.05. Either side. Tighter is senseless: makers round to 350, 400
            or 500 mm as well as to 14, 16 or 20 in.
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
def distance_advice(pto_type: PtoType, measured: Annotated[float, In("m", 0.05, 1.5)]) -> Advice:
    """What to do with the drawbar when its distance is off.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; type 4 has no published value.
        measured: m, 0.05 to 1.5. End of PTO shaft to centre of hitch pin, level.
    Result: advice in m.
    Formula: published distance less measured distance.
    Source: as hitch.drawbar_distance; drawbar before driveline is published practice.
    Example: type 1 measured at 10 in -> pull it out 4 in.

        >>> round(distance_advice(1, 0.254).amount / 0.0254, 6)
        4.0
    """
    missing = drawbar_distance(pto_type) - measured
    way = "Pull the drawbar out" if missing > 0 else "Push the drawbar in"
    return Advice(
        f"{way} by {{amount}}, or to the nearest hole, and lock it in the middle. "
        "Do not cut a driveline before the drawbar is set",
        abs(missing),
        "m",
    )


@rule("hitch.pto_height_window")
def pto_height_window(pto_type: PtoType) -> Window:
    """Height of the PTO's centre line above the top of the drawbar.

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
    """How far below the PTO's centre line hitch pin and clevis must end.

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
    """Drawbar categories whose power range holds this tractor.

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
    """Most static vertical load on the drawbar.

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
            f"Category {category} runs from {least} to {most} kW; the power given is "
            f"{drawbar_power / 1000:g} kW. Check power and category.",
        )
    if position != "regular" and pto_type != 1:
        raise RuleRefusal(
            "position",
            f"The {position} position is published for a type 1 PTO only. "
            "Use the regular position or the tractor's manual.",
        )
    fixed, slope = CATEGORY_LOAD[category]
    return (fixed * 1000 + slope * drawbar_power) * POSITION_FACTOR[position]


@rule("hitch.minimum_tractor_mass")
def minimum_tractor_mass(
    machine_mass: Mass,
    travel_speed: Annotated[float, In("m/s", 0.5, 50 / 3.6)],
    braked: bool = False,
    model_minimum: Annotated[float | None, In("kg", 100.0, 40_000.0)] = None,
) -> Annotated[float, Unit("kg")]:
    """Least mass of the ballasted tractor that tows the machine.

    Inputs:
        machine_mass: kg, 100 to 40000. The machine as towed, loaded.
        travel_speed: m/s, 0.5 to 13.8889. Fastest speed on the road; never above the machine's
            own marked speed.
        braked: yes or no. The machine has its own working brakes.
        model_minimum: kg, 100 to 40000. The maker's own minimum; the greater of the two counts.
    Result: kg.
    Formula: machine mass / 1.5 unbraked (to 32 km/h), / 4.5 braked to 40 km/h, / 3.0 to 50 km/h.
    Source: one maker's public manuals; local road law and the maker's manual go before it.
    Example: a 22500 lb machine without brakes -> 15000 lb tractor.

        >>> round(minimum_tractor_mass(22_500 * 0.45359237, 8.0) / 0.45359237)
        15000
    """
    ratio = _mass_ratio(travel_speed, braked)
    return max(machine_mass / ratio, model_minimum or 0.0)


def _mass_ratio(travel_speed: float, braked: bool) -> float:
    for most_km_per_hour, ratio in BRAKED if braked else (UNBRAKED,):
        if travel_speed <= most_km_per_hour * KM_PER_HOUR * (1 + 1e-9):
            return ratio
    raise RuleRefusal(
        "travel_speed",
        "A machine without brakes may not be towed faster than 32 km/h (20 mph). "
        "Lower the speed or fit brakes.",
    )


@rule("hitch.axle_loads")
def axle_loads(
    front_mass: Mass,
    rear_mass: Mass,
    wheelbase: Annotated[float, In("m", 0.8, 6.0)],
    hitch_load: Load,
    overhang: Annotated[float, In("m", 0.1, 4.0)],
) -> AxleLoads:
    """Tractor's axle loads with the machine attached.

    Inputs:
        front_mass: kg, 100 to 40000. On the front axle, weighed without the machine.
        rear_mass: kg, 100 to 40000. On the rear axle, weighed without the machine.
        wheelbase: m, 0.8 to 6. Front axle to rear axle.
        hitch_load: N, -20000 to 60000. Downward at the hitch pin; a tail-heavy machine lifts
            and counts negative.
        overhang: m, 0.1 to 4. Rear axle back to the hitch pin.
    Result: front and rear load in N, front load as a share of both.
    Formula: front less V o / w, rear plus V (1 + o / w); standing on level ground, no pull.
    Source: statics (moments about the rear axle).
    Example: moments by hand: 2000 and 3000 kg, 2.5 m, 1000 kgf at 0.75 m -> front 1700 kg.

        >>> round(axle_loads(2000, 3000, 2.5, 9806.65, 0.75).front / 9.80665)
        1700
    """
    lifted = hitch_load * overhang / wheelbase
    front = front_mass * GRAVITY - lifted
    rear = rear_mass * GRAVITY + hitch_load + lifted
    if front <= 0:
        raise RuleRefusal(
            "hitch_load", "The front wheels would leave the ground. Ballast the front or lighten."
        )
    if rear <= 0:
        raise RuleRefusal(
            "hitch_load",
            "The rear wheels would leave the ground. Move weight to the machine's front.",
        )
    return AxleLoads(front, rear, front / (front + rear))


@rule("hitch.front_ballast_advice")
def front_ballast_advice(
    front_load: Annotated[float, In("N", 0.0, 500_000.0)],
    rear_load: Annotated[float, In("N", 0.0, 500_000.0)],
    wheelbase: Annotated[float, In("m", 0.8, 6.0)],
    ballast_overhang: Annotated[float, In("m", 0.0, 3.0)],
    least_share: Annotated[float, In("1", 0.05, 0.6)],
) -> Advice:
    """How much front ballast brings the front axle to the wanted share.

    Inputs:
        front_load: N, 0 to 500000. Front axle with the machine attached.
        rear_load: N, 0 to 500000. Rear axle with the machine attached.
        wheelbase: m, 0.8 to 6. Front axle to rear axle.
        ballast_overhang: m, 0 to 3. Front axle forward to the middle of the ballast.
        least_share: 1, 0.05 to 0.6. Front share the tractor's manual or local law wants.
    Result: advice in kg.
    Formula: m g = (s (F + R) - F) / (1 + a / w - s).
    Source: statics (moments about the rear axle).
    Example: by hand: 1000 kgf front, 5000 kgf rear, ballast on the axle, share 0.2 -> 250 kg.

        >>> round(front_ballast_advice(9806.65, 5 * 9806.65, 2.5, 0.0, 0.2).amount)
        250
    """
    short = least_share * (front_load + rear_load) - front_load
    mass = short / (1 + ballast_overhang / wheelbase - least_share) / GRAVITY
    if mass <= 0:
        return Advice("Leave the front as it is; add {amount}", 0.0, "kg")
    return Advice("Add {amount} of ballast at the front, within the axle's rating", mass, "kg")
