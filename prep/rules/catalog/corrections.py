"""What to do about a reading outside its limit where the remedy is simply more or less of it.

The procedure says in its own words what makes the reading larger and what makes it smaller; the
rule says which, and by how much: to the middle of two limits, or to the only one.
"""

from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, RuleRefusal, rule

AGAIN: Final = "and read again"
RAISE, LOWER = "Make it more", "Make it less"  # where the procedure says nothing better

Torque = Annotated[float, In("N·m", 0.0, 1e5)]
Length = Annotated[float, In("m", -100.0, 100.0)]
Volume = Annotated[float, In("m^3", 0.0, 10.0)]
Pressure = Annotated[float, In("Pa", -1e5, 1e8)]
Mass = Annotated[float, In("kg", 0.0, 1e6)]
Rotation = Annotated[float, In("1/s", 0.0, 1000.0)]
Angle = Annotated[float, In("rad", -3.2, 3.2)]
Count = Annotated[float, In("count", 0.0, 1e6)]


@rule("correcting.torque")
def torque(reading: Torque, least: Torque, most: Torque) -> Advice | None:
    """What to do about a torque outside its limit.

    Inputs:
        reading: N·m, 0 to 100000. Torque read.
        least: N·m, 0 to 100000. Lower limit.
        most: N·m, 0 to 100000. Upper limit.
    Result: what to do, or nothing between the limits.
    Formula: short of the middle by (least + most) / 2 - reading; over by reading - most.
    Source: a Navy training text: pull smoothly and aim at the middle of the range. Whether a
        fastener was stretched: torque.past_yield, or the maker's manual.
    Example: 90 N·m where 100 to 110 are wanted -> 15 N·m more (arithmetic).

        >>> torque(90.0, 100.0, 110.0).amount
        15.0
    """
    _ordered(least, most)
    if reading < least:
        do = f"Tighten by {{amount}} more with a smooth pull, to the middle of the limit, {AGAIN}"
        return Advice(do, (least + most) / 2 - reading, "N·m")
    if reading > most:
        do = (
            "It is {amount} too tight: loosen it, look at threads and washer, replace what was "
            "stretched, and tighten again in stages"
        )
        return Advice(do, reading - most, "N·m")
    return None


@rule("correcting.length")
def length(
    reading: Length,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Length | None = None,
    most: Length | None = None,
) -> Advice | None:
    """What to do about a length outside its limit.

    Inputs:
        reading: m, -100 to 100. Length read.
        too_small: text. What makes it larger, such as “let the chain out”.
        too_large: text. What makes it smaller.
        least: m, -100 to 100. Lower limit, if there is one.
        most: m, -100 to 100. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: a sag of 30 mm where 10 to 20 mm are wanted -> 15 mm less (arithmetic).

        >>> round(length(0.03, "let it out", "take it up", 0.01, 0.02).amount, 9)
        0.015
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "m")


@rule("correcting.volume")
def volume(
    reading: Volume,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Volume | None = None,
    most: Volume | None = None,
) -> Advice | None:
    """What to do about a filled volume outside its limit.

    Inputs:
        reading: m^3, 0 to 10. Volume filled.
        too_small: text. What makes it larger.
        too_large: text. What makes it smaller.
        least: m^3, 0 to 10. Lower limit, if there is one.
        most: m^3, 0 to 10. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: 1 L filled where 2 L are wanted -> 1 L more (arithmetic).

        >>> volume(0.001, least=0.002, most=0.002).amount
        0.001
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "m^3")


@rule("correcting.pressure")
def pressure(
    reading: Pressure,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Pressure | None = None,
    most: Pressure | None = None,
) -> Advice | None:
    """What to do about a pressure outside its limit.

    Inputs:
        reading: Pa, -100000 to 1e+08. Pressure read.
        too_small: text. What makes it larger.
        too_large: text. What makes it smaller.
        least: Pa, -100000 to 1e+08. Lower limit, if there is one.
        most: Pa, -100000 to 1e+08. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: 300 kPa where 200 to 220 kPa are wanted -> 90 kPa less (arithmetic).

        >>> pressure(3e5, "add air", "let out air", 2e5, 2.2e5).amount
        90000.0
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "Pa")


@rule("correcting.mass")
def mass(
    reading: Mass,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Mass | None = None,
    most: Mass | None = None,
) -> Advice | None:
    """What to do about a mass outside its limit.

    Inputs:
        reading: kg, 0 to 1e+06. Mass read, or rated.
        too_small: text. What makes it larger.
        too_large: text. What makes it smaller.
        least: kg, 0 to 1e+06. Lower limit, if there is one.
        most: kg, 0 to 1e+06. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: a tractor of 5000 kg where 6000 kg are needed -> 1000 kg more (arithmetic).

        >>> mass(5000.0, "add ballast", "take ballast off", least=6000.0).amount
        1000.0
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "kg")


@rule("correcting.rotation")
def rotation(
    reading: Rotation,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Rotation | None = None,
    most: Rotation | None = None,
) -> Advice | None:
    """What to do about a speed of rotation outside its limit.

    Inputs:
        reading: 1/s, 0 to 1000. Speed read.
        too_small: text. What makes it faster.
        too_large: text. What makes it slower.
        least: 1/s, 0 to 1000. Lower limit, if there is one.
        most: 1/s, 0 to 1000. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: 500 rpm where 530 to 550 rpm are wanted -> 40 rpm more (arithmetic).

        >>> round(rotation(500 / 60, "open", "close", 530 / 60, 550 / 60).amount * 60, 9)
        40.0
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "1/s")


@rule("correcting.angle")
def angle(
    reading: Angle,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Angle | None = None,
    most: Angle | None = None,
) -> Advice | None:
    """What to do about an angle outside its limit.

    Inputs:
        reading: rad, -3.2 to 3.2. Angle read.
        too_small: text. What makes it larger.
        too_large: text. What makes it smaller.
        least: rad, -3.2 to 3.2. Lower limit, if there is one.
        most: rad, -3.2 to 3.2. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to (least + most) / 2, or to the only limit.
    Source: arithmetic; what to do is the procedure's word.
    Example: 0.02 rad where -0.01 to 0.01 rad are wanted -> 0.02 rad less (arithmetic).

        >>> angle(0.02, "raise", "lower", -0.01, 0.01).amount
        0.02
    """
    return _more_or_less(reading, (too_small, too_large), least, most, "rad")


@rule("correcting.count")
def count(
    reading: Count,
    too_small: str = RAISE,
    too_large: str = LOWER,
    least: Count | None = None,
    most: Count | None = None,
) -> Advice | None:
    """What to do about a number of things outside its limit.

    Inputs:
        reading: count, 0 to 1e+06. How many there were.
        too_small: text. What makes it more.
        too_large: text. What makes it fewer.
        least: count, 0 to 1e+06. Lower limit, if there is one.
        most: count, 0 to 1e+06. Upper limit, if there is one.
    Result: what to do, or nothing where it conforms.
    Formula: to the nearer limit, for half a stroke cannot be given.
    Source: arithmetic; what to do is the procedure's word.
    Example: 2 strokes where 3 to 6 are wanted -> 1 more (arithmetic).

        >>> count(2.0, "give more strokes", "wipe off", 3.0, 6.0).amount
        1.0
    """
    if least is not None and reading < least:
        return _more_or_less(reading, (too_small, too_large), least, None, "count")
    return _more_or_less(reading, (too_small, too_large), None, most, "count")


def _more_or_less(
    reading: float,
    words: tuple[str, str],
    least: float | None,
    most: float | None,
    unit: str,
) -> Advice | None:
    """Which of the two `words`, and by how much.

    Between two limits, where only a guard band is short, the middle is still the place to go;
    beside a single limit there is none, and a finer instrument has to decide.
    """
    if least is not None and most is not None:
        _ordered(least, most)
        target = (least + most) / 2
    elif least is not None and reading < least:
        target = least
    elif most is not None and reading > most:
        target = most
    else:
        return None
    if target == reading:
        return None
    do = words[0] if reading < target else words[1]
    safe = do.replace("{", "{{").replace("}", "}}")
    return Advice(f"{safe} by {{amount}}, {AGAIN}", abs(target - reading), unit)


def _ordered(least: float, most: float) -> None:
    if least > most:
        raise RuleRefusal("least", "The lower limit is above the upper one. Exchange them.")
