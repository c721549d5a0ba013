"""Road marking of a towed machine: emblem, speed sign, lamps and strips.

Local law decides; these are the published figures with where each was read.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, Unit, rule
from prep.rules.quantities.unit_table import FOOT
from prep.rules.running_gear.towing_data import KM_H

# Slow-moving-vehicle emblem: height of its lower edge, m, and greatest angle off square, degrees.
EMBLEM_HEIGHTS: Final[dict[str, tuple[float, float]]] = {
    "ASAE S276.5": (float(2 * FOOT), float(6 * FOOT)),  # university extension page
    "later edition": (float(2 * FOOT), float(10 * FOOT)),  # value from memory
}
EMBLEM_ANGLE: Final = 10.0
EMBLEM_SPEED: Final = 40.0  # km/h; ANSI/ASAE S276.8: emblem alone below this,
SPEED_SIGN_SPEED: Final = 65.0  # with a speed identification symbol up to this

# 49 CFR 562, final rule of 2016, for equipment from 22 June 2017: 3.7 m, printed beside 12 ft,
# which is 3.6576 m. The narrower of the two leaves no machine without its lamps.
WIDE: Final = float(12 * FOOT)
# Older ASAE S279.10 summary by a university extension: lamp heights in m, flashes per minute.
LAMP_HEIGHTS: Final = (float(3 * FOOT), float(10 * FOOT))
FLASHES: Final = (60.0, 85.0)
FLASHES_TURNING: Final = (60.0, 110.0)


@dataclass(frozen=True)
class Marking:
    """What a towed machine must show on the road."""

    emblem: bool
    speed_sign: bool
    flashing_ambers: Annotated[int, Unit("1")]
    edge_strips: bool
    lamps_repeated: bool


@rule("road_marking.marking")
def marking(
    width: Annotated[float, In("m", 0.3, 15.0)],
    tractor_width: Annotated[float, In("m", 0.3, 15.0)],
    speed: Annotated[float, In("m/s", 0.1, SPEED_SIGN_SPEED * KM_H)],
    hides_tractor_lamps: bool,
) -> Marking:
    """Road marking required on a towed machine: emblem, speed sign, lamps and strips.

    Inputs:
        width: m, 0.3 to 15. Widest point in transport position.
        tractor_width: m, 0.3 to 15. Widest point of the tractor.
        speed: m/s, 0.1 to 18.0556. Greatest speed on the road.
        hides_tractor_lamps: yes or no. Whether the machine covers the tractor's lamps.
    Result: emblem, speed sign, flashing amber lamps (1) seen from front and rear at the widest
        points, strips front and rear on what stands out beyond the tractor, lamps repeated.
    Formula: ambers: 2 from 12 ft (3.66 m) wide; strips: wider than the tractor; speed sign: from
        40 km/h on.
    Source: 49 CFR 562 for equipment from 22 June 2017; ANSI/ASAE S276.8, S279.18; ISO 20383.
    Example: 12 ft wide -> two flashing ambers.

        >>> marking(3.6576, 2.5, 8.0, False).flashing_ambers
        2
    """
    return Marking(
        emblem=True,  # S279.18 asks for it on all interchangeable towed machinery
        speed_sign=speed >= EMBLEM_SPEED * KM_H,
        flashing_ambers=2 if width >= WIDE else 0,
        edge_strips=width > tractor_width,
        lamps_repeated=hides_tractor_lamps,
    )


@rule("road_marking.emblem_place")
def emblem_place(
    lower_edge: Annotated[float, In("m", 0.0, 5.0)],
    edition: Annotated[str, OneOf(tuple(EMBLEM_HEIGHTS))] = "ASAE S276.5",
) -> Advice | None:
    """Mounting height of the slow-moving-vehicle emblem.

    Inputs:
        lower_edge: m, 0 to 5. Ground to the lower edge of the emblem.
        edition: one of ASAE S276.5, later edition. Which edition holds; some local codes ask for
            3 to 5 ft.
    Result: advice to raise or lower it by an amount in m; nothing when it hangs right.
    Formula: 2 ft <= lower edge <= 6 ft (later edition 10 ft).
    Source: ASAE S276.5 by university extension pages; later edition: value from memory.
    Example: lower edge at 2 ft -> right.

        >>> emblem_place(0.6096) is None
        True
    """
    least, greatest = EMBLEM_HEIGHTS[edition]
    if lower_edge < least:
        return Advice("raise-emblem", least - lower_edge, "m")
    if lower_edge > greatest:
        return Advice("lower-emblem", lower_edge - greatest, "m")
    return None


@rule("road_marking.emblem_square")
def emblem_square(
    angle: Annotated[float, In("rad", 0.0, math.pi / 2)],
) -> Advice | None:
    """Alignment of the slow-moving-vehicle emblem with the direction of travel.

    Inputs:
        angle: rad, 0 to 1.5708. Between the emblem's face and a square across the way of travel.
    Result: advice to turn it by an amount in rad; nothing within the limit.
    Formula: angle <= 10 deg.
    Source: ASAE S276.5 by university extension pages.
    Example: 10 deg off -> still right.

        >>> emblem_square(math.radians(10)) is None
        True
    """
    limit = math.radians(EMBLEM_ANGLE)
    if angle <= limit:
        return None
    return Advice("turn-emblem", angle, "rad")


@rule("road_marking.lamp_place")
def lamp_place(height: Annotated[float, In("m", 0.0, 6.0)]) -> Advice | None:
    """Mounting height of a warning lamp.

    Inputs:
        height: m, 0 to 6. Ground to the middle of the lamp.
    Result: advice to raise or lower it by an amount in m; nothing when it stands right.
    Formula: 3 ft <= height <= 10 ft.
    Source: older ASAE S279.10, summarized by a university extension.
    Example: 3 ft -> right.

        >>> lamp_place(0.9144) is None
        True
    """
    least, greatest = LAMP_HEIGHTS
    if height < least:
        return Advice("raise-lamp", least - height, "m")
    if height > greatest:
        return Advice("lower-lamp", height - greatest, "m")
    return None


@dataclass(frozen=True)
class FlashRate:
    """Flash rate limits of a warning lamp."""

    least: Annotated[float, Unit("1/s")]
    greatest: Annotated[float, Unit("1/s")]


@rule("road_marking.flash_rate")
def flash_rate(turning: bool) -> FlashRate:
    """Flash rate of the warning lamps.

    Inputs:
        turning: yes or no. Whether it is the lamp on the side turned to; the other burns steady.
    Result: least and greatest rate, 1/s.
    Formula: 60 to 85 flashes a minute, on the turning side up to 110.
    Source: older ASAE S279.10, summarized by a university extension.
    Example: straight ahead -> 60 to 85 a minute.

        >>> round(flash_rate(False).greatest * 60)
        85
    """
    least, greatest = FLASHES_TURNING if turning else FLASHES
    return FlashRate(least / 60, greatest / 60)
