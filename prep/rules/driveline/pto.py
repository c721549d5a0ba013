"""Power take-off: the standard shafts, their speeds, and whether a unit suits a tractor.

Shaft sizes and rated speeds: ISO 500-1:2014 and ISO 500-3, as published restatements give them.
No published power or torque limit by type could be confirmed, so none is offered here.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.catalog.decided_by import DecidedBy
from prep.rules.phrase import Amount, Phrase, phrase

PtoType = Annotated[int, OneOf((1, 2, 3, 4))]
Speed = Annotated[float, In("1/s", 0.1, 100.0)]
Power = Annotated[float, In("W", 100.0, 1_000_000.0)]
Splines = Annotated[int, OneOf((6, 20, 21, 22))]

HORSEPOWER: Final = 745.6998715822702  # W, 550 ft·lbf/s exactly
FOOT: Final = 0.3048  # m, exact
PER_MINUTE: Final = 1 / 60

RATING_SPREAD: Final = 0.01  # two typed roundings of one rating (16.67 and 16.7 1/s) still agree


@dataclass(frozen=True)
class Shaft:
    """A standard PTO shaft: number of splines, nominal diameter and rated speed."""

    splines: Annotated[int, Unit("1")]
    diameter: Annotated[float, Unit("m")]
    rated_speed: Annotated[float, Unit("1/s")]


@dataclass(frozen=True)
class SpeedWindow:
    """Slowest and fastest speed that still counts as the rated one."""

    least: Annotated[float, Unit("1/s")]
    most: Annotated[float, Unit("1/s")]


@dataclass(frozen=True)
class Match:
    """Whether unit and tractor fit each other; `differs` is what does not."""

    matches: bool
    differs: tuple[Phrase, ...]


@dataclass(frozen=True)
class PowerRange:
    """Tractor PTO power for a cutter by rule of thumb: low end, usual value, high end."""

    low: Annotated[float, Unit("W")]
    usual: Annotated[float, Unit("W")]
    high: Annotated[float, Unit("W")]


# Published restatements of ISO 500-1:2014 and ISO 500-3. A wiki's "57.5 cm" for type 4 is a slip
# for 57.5 mm; pages that give type 2 eight splines, or type 3 twenty-one, have them mixed up.
SHAFTS: Final = {
    1: Shaft(6, 0.035, 540 * PER_MINUTE),
    2: Shaft(21, 0.035, 1000 * PER_MINUTE),
    3: Shaft(20, 0.045, 1000 * PER_MINUTE),
    4: Shaft(22, 0.0575, 1300 * PER_MINUTE),
}

# Older ASAE values restated in a feed grinder-mixer's public manual, rpm either side.
SPEED_TOLERANCE: Final = {1: 10 * PER_MINUTE, 2: 25 * PER_MINUTE, 3: 25 * PER_MINUTE}

# Highest speeds shown in one public tractor manual, by rating.
OVERSPEED: Final = {
    "540": 630 * PER_MINUTE,
    "540E": 687 * PER_MINUTE,
    "1000": 1170 * PER_MINUTE,
}

# hp of PTO power per foot of cut of a brush-type rotary cutter: published range and usual value.
# Trade practice in four or more independent public articles; ASABE D497 has no such row.
HP_PER_FOOT: Final = (4.0, 5.0, 7.0)

# One tractor manual: above 75 hp (56 kW) through the 6-spline 540 shaft a slip clutch is advised.
CLUTCH_POWER: Final = 75 * HORSEPOWER


@rule("pto.shaft")
def shaft(pto_type: PtoType) -> Shaft:
    """Standard PTO shaft by type.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft.
    Result: number of splines, nominal diameter in m, rated speed in 1/s.
    Formula: table by type.
    Source: ISO 500-1:2014 and ISO 500-3 in published restatements (type 4 seen once).
    Example: type 1 -> 6 splines, 35 mm, 540 rpm = 9.000 turns a second.

        >>> shaft(1)
        Shaft(splines=6, diameter=0.035, rated_speed=9.0)
    """
    return SHAFTS[pto_type]


@rule("pto.speed_window")
def speed_window(pto_type: PtoType) -> SpeedWindow:
    """Tolerance of the rated PTO speed.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft; none is published for type 4.
    Result: least and most speed in 1/s.
    Formula: rated speed plus and minus the tolerance of its type.
    Source: older ASAE table restated in a public feed grinder-mixer manual; seen once.
    Example: type 1 -> 530 to 550 rpm.

        >>> window = speed_window(1)
        >>> round(window.least * 60), round(window.most * 60)
        (530, 550)
    """
    if pto_type not in SPEED_TOLERANCE:
        raise RuleRefusal("pto_type", "no-speed-tolerance")
    rated, tolerance = SHAFTS[pto_type].rated_speed, SPEED_TOLERANCE[pto_type]
    return SpeedWindow(rated - tolerance, rated + tolerance)


@rule("pto.overspeed_limit")
def overspeed_limit(
    rating: Annotated[str, OneOf(("540", "540E", "1000"))],
) -> Annotated[float, Unit("1/s")]:
    """Maximum PTO speed.

    Inputs:
        rating: one of 540, 540E, 1000. Speed rating in rpm; E is the economy setting.
    Result: 1/s.
    Formula: table by rating.
    Source: one public tractor manual. General advice: the manufacturer of the machine may allow
        less.
    Example: rating 540 -> 630 rpm.

        >>> round(overspeed_limit("540") * 60)
        630
    """
    return OVERSPEED[rating]


@rule("pto.match")
def match(
    tractor_splines: Splines,
    tractor_speed: Speed,
    machine_splines: Splines,
    machine_speed: Speed,
    adapter: bool = False,
) -> Match:
    """Match of the machine to the tractor's PTO.

    Inputs:
        tractor_splines: one of 6, 20, 21, 22. Splines counted on the tractor's stub shaft.
        tractor_speed: 1/s, 0.1 to 100. Rated PTO speed the tractor runs at.
        machine_splines: one of 6, 20, 21, 22. Splines in the driveline's tractor-end yoke.
        machine_speed: 1/s, 0.1 to 100. Input speed on the machine's plate.
        adapter: yes or no. A sleeve stands between stub shaft and yoke; that is never a match.
    Result: whether they match, and what differs.
    Formula: same splines, same rated speed (to 1 percent), no adapter.
    Source: common practice, no published source; shafts by ISO 500-1:2014.
    Example: 540 tractor, 1000 rpm machine of 21 splines -> differs in splines and speed.

        >>> [phrase.code for phrase in match(6, 9.0, 21, 1000 / 60).differs]
        ['splines-differ', 'speeds-differ']
    """
    differences = []
    if tractor_splines != machine_splines:
        differences.append(
            phrase("splines-differ", tractor=tractor_splines, machine=machine_splines)
        )
    if abs(tractor_speed - machine_speed) > RATING_SPREAD * machine_speed:
        tractor, machine = Amount(tractor_speed, "1/s"), Amount(machine_speed, "1/s")
        differences.append(phrase("speeds-differ", tractor=tractor, machine=machine))
    if adapter:
        differences.append(phrase("adapter-fitted"))
    return Match(not differences, tuple(differences))


@rule("pto.torque")
def torque(power: Power, speed: Speed) -> Annotated[float, Unit("N·m")]:
    """Torque from power and speed.

    Inputs:
        power: W, 100 to 1e6. Power through the shaft.
        speed: 1/s, 0.1 to 100. Turns of the shaft.
    Result: N·m.
    Formula: T = P / (2 pi n).
    Source: definition of power; the same as hp = lb-ft x rpm / 5252 (published).
    Example: 75 kW at 1000 rpm -> 716.2 N·m.

        >>> round(torque(75_000, 1000 / 60), 1)
        716.2
    """
    return power / (2 * math.pi * speed)


@rule("pto.power")
def power(
    torque: Annotated[float, In("N·m", 0.1, 100_000.0)], speed: Speed
) -> Annotated[float, Unit("W")]:
    """Power from torque and speed.

    Inputs:
        torque: N·m, 0.1 to 100000. Torque in the shaft.
        speed: 1/s, 0.1 to 100. Turns of the shaft.
    Result: W.
    Formula: P = 2 pi n T.
    Source: published pair, 650 lb-ft at 1200 rpm is 148.51 hp.
    Example: 650 lb-ft (881.28 N·m) at 1200 rpm -> 148.51 hp.

        >>> round(power(650 * 1.3558179483314, 1200 / 60) / 745.6998715822702, 2)
        148.51
    """
    return 2 * math.pi * speed * torque


@rule("pto.power_range")
def power_range(cutting_width: Annotated[float, In("m", 0.5, 10.0)]) -> PowerRange:
    """Tractor PTO power for a brush-type rotary cutter, by rule of thumb.

    Inputs:
        cutting_width: m, 0.5 to 10. Full width of cut.
    Result: low end, usual value and high end in W.
    Formula: 4, 5 and 7 hp per foot of cut. For brush-type rotary cutters only.
    Source: common practice in several public articles; not in any standard, not a manufacturer's
        limit.
    Example: 1 ft of cut -> 5 hp, from 4 to 7 hp.

        >>> round(power_range(15 * 0.3048).usual / 745.6998715822702, 6)
        75.0
    """
    low, usual, high = (hp * HORSEPOWER / FOOT * cutting_width for hp in HP_PER_FOOT)
    return PowerRange(low, usual, high)


@dataclass(frozen=True)
class LeastPower:
    """Minimum PTO power, and whose value it is."""

    power: Annotated[float, Unit("W")]
    decided_by: DecidedBy


@rule("pto.minimum_power")
def minimum_power(
    cutting_width: Annotated[float, In("m", 0.5, 10.0)],
    model_minimum: Annotated[float | None, In("W", 1_000.0, 1_000_000.0)] = None,
) -> LeastPower:
    """Minimum tractor PTO power for the machine.

    Inputs:
        cutting_width: m, 0.5 to 10. Full width of cut.
        model_minimum: W, 1000 to 1e6. The manufacturer's own minimum; where given, it decides.
    Result: power in W, and whose value it is.
    Formula: the manufacturer's minimum, else 5 hp per foot of cut (brush-type rotary cutters only).
    Source: common practice, no published standard; the manufacturer's figure goes before it.
    Example: 15 ft without a manufacturer's figure -> 75 hp.

        >>> round(minimum_power(15 * 0.3048).power / 745.6998715822702, 6)
        75.0
    """
    if model_minimum is None:
        return LeastPower(power_range(cutting_width).usual, "general")
    return LeastPower(model_minimum, "manufacturer")


@rule("pto.clutch_advised")
def clutch_advised(pto_type: PtoType, power: Power) -> bool:
    """Whether a slip clutch is strongly advised for a PTO shaft and power.

    Inputs:
        pto_type: one of 1, 2, 3, 4. Type number of the PTO shaft.
        power: W, 100 to 1e6. Power sent through the shaft.
    Result: yes or no.
    Formula: more than 75 hp through the 6-spline 540 shaft (type 1).
    Source: one public tractor manual; advice, not a limit.
    Example: 80 hp through type 1 -> yes.

        >>> clutch_advised(1, 80 * 745.7)
        True
    """
    return pto_type == 1 and power > CLUTCH_POWER


@rule("pto.rotation")
def rotation(
    seen_from: Annotated[str, OneOf(("behind the tractor", "in front of the shaft"))],
    ground_drive_in_reverse: bool = False,
) -> Literal["clockwise", "counter-clockwise"]:
    """Direction of rotation of the tractor's PTO.

    Inputs:
        seen_from: one of behind the tractor, in front of the shaft. Where the observer stands;
            behind the tractor he faces the stub's end, in front of the shaft he looks rearward.
        ground_drive_in_reverse: yes or no. PTO driven from the wheels while backing.
    Result: clockwise or counter-clockwise.
    Formula: clockwise seen from behind; the other way from the front, or backing in ground drive.
    Source: ISO 500-1:2014 clause 4.2, published restatement.
    Example: seen from behind the tractor -> clockwise.

        >>> rotation("behind the tractor")
        'clockwise'
    """
    from_behind = seen_from == "behind the tractor"
    return "clockwise" if from_behind != ground_drive_in_reverse else "counter-clockwise"


@rule("pto.pull_in_speed")
def pull_in_speed(
    wrap_diameter: Annotated[float, In("m", 0.01, 1.0)], speed: Speed
) -> Annotated[float, Unit("m/s")]:
    """Speed at which a turning shaft pulls in clothing; for the caution beside the step.

    Inputs:
        wrap_diameter: m, 0.01 to 1. Diameter of what the cloth winds on.
        speed: 1/s, 0.1 to 100. Turns of the shaft.
    Result: m/s.
    Formula: v = pi D n.
    Source: published pairs, 540 rpm about 7 ft/s and 1000 rpm about 13 ft/s (3 in diameter).
    Example: 3 in at 540 rpm -> 7.07 ft/s.

        >>> round(pull_in_speed(0.0762, 9.0) / 0.3048, 2)
        7.07
    """
    return math.pi * wrap_diameter * speed
