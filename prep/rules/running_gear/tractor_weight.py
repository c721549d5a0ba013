"""Tractor weight: minimum mass to tow, axle loads and front ballast."""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule
from prep.rules.catalog.decided_by import DecidedBy
from prep.rules.running_gear.towing_data import MASS_STEPS

Mass = Annotated[float, In("kg", 100.0, 40_000.0)]
Load = Annotated[float, In("N", -20_000.0, 60_000.0)]

GRAVITY: Final = 9.80665  # m/s^2, standard value


@dataclass(frozen=True)
class AxleLoads:
    """Static axle loads with the machine attached, and the front's part of their sum."""

    front: Annotated[float, Unit("N")]
    rear: Annotated[float, Unit("N")]
    front_share: Annotated[float, Unit("1")]


@dataclass(frozen=True)
class LeastMass:
    """Minimum mass of the tractor, and whose value it is."""

    mass: Annotated[float, Unit("kg")]
    decided_by: DecidedBy


@rule("tractor_weight.minimum_mass")
def minimum_mass(
    machine_mass: Mass,
    travel_speed: Annotated[float, In("m/s", 0.5, 50 / 3.6)],
    braked: bool = False,
    model_minimum: Annotated[float | None, In("kg", 100.0, 40_000.0)] = None,
) -> LeastMass:
    """Minimum mass of the ballasted tractor that tows the machine.

    Inputs:
        machine_mass: kg, 100 to 40000. The machine as towed, loaded.
        travel_speed: m/s, 0.5 to 13.8889. Fastest speed on the road; never above the machine's
            own marked speed.
        braked: yes or no. The machine has its own working brakes.
        model_minimum: kg, 100 to 40000. The manufacturer's own minimum; the greater of the two
            counts.
    Result: mass in kg, and whose value it is.
    Formula: machine mass / 1.5 unbraked (to 32 km/h), / 4.5 braked to 40 km/h, / 3.0 to 50 km/h.
    Source: one manufacturer's public manuals; local road law and the manufacturer's manual go
        before it.
    Example: a 22500 lb machine without brakes -> 15000 lb tractor.

        >>> round(minimum_mass(22_500 * 0.45359237, 8.0).mass / 0.45359237)
        15000
    """
    by_ratio = machine_mass / _mass_ratio(travel_speed, braked)
    if model_minimum is None or by_ratio > model_minimum:
        return LeastMass(by_ratio, "general")
    return LeastMass(model_minimum, "manufacturer")


def _mass_ratio(travel_speed: float, braked: bool) -> float:
    """Greatest machine mass over ballasted tractor mass at a speed."""
    steps = MASS_STEPS["on the implement" if braked else "none"]
    for step in steps:
        if travel_speed <= step.allowed:
            return step.ratio
    # With brakes the last step goes up to the fastest speed this rule takes.
    km_h, mph = steps[-1].km_h, steps[-1].mph
    raise RuleRefusal("travel_speed", "too-fast-without-brakes", km_h=km_h, mph=mph)


@rule("tractor_weight.axle_loads")
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
        raise RuleRefusal("hitch_load", "front-wheels-lift")
    if rear <= 0:
        raise RuleRefusal("hitch_load", "rear-wheels-lift")
    return AxleLoads(front, rear, front / (front + rear))


@rule("tractor_weight.least_front_mass")
def least_front_mass(
    rear_mass: Annotated[float, In("kg", 100.0, 40_000.0)],
    least_share: Annotated[float, In("1", 0.05, 0.6)],
) -> Annotated[float, Unit("kg")]:
    """Least mass on the front axle for its share of both.

    Inputs:
        rear_mass: kg, 100 to 40000. On the rear axle, weighed with the machine attached.
        least_share: 1, 0.05 to 0.6. Front share the tractor's manual or local law wants.
    Result: kg.
    Formula: F = s R / (1 - s), from F / (F + R) = s.
    Source: arithmetic of a share; the share itself is the manual's or the law's.
    Example: 4000 kg behind, a share of 0.2 -> 1000 kg in front (arithmetic).

        >>> round(least_front_mass(4000.0, 0.2), 9)
        1000.0
    """
    return least_share * rear_mass / (1 - least_share)


@rule("tractor_weight.front_ballast_advice")
def front_ballast_advice(
    front_load: Annotated[float, In("N", 0.0, 500_000.0)],
    rear_load: Annotated[float, In("N", 0.0, 500_000.0)],
    wheelbase: Annotated[float, In("m", 0.8, 6.0)],
    ballast_overhang: Annotated[float, In("m", 0.0, 3.0)],
    least_share: Annotated[float, In("1", 0.05, 0.6)],
) -> Advice | None:
    """Front ballast for a wanted share of the weight on the front axle.

    Inputs:
        front_load: N, 0 to 500000. Front axle with the machine attached.
        rear_load: N, 0 to 500000. Rear axle with the machine attached.
        wheelbase: m, 0.8 to 6. Front axle to rear axle.
        ballast_overhang: m, 0 to 3. Front axle forward to the middle of the ballast.
        least_share: 1, 0.05 to 0.6. Front share the tractor's manual or local law wants.
    Result: advice in kg; nothing where the front carries its share already.
    Formula: m g = (s (F + R) - F) / (1 + a / w - s).
    Source: statics (moments about the rear axle).
    Example: by hand: 1000 kgf front, 5000 kgf rear, ballast on the axle, share 0.2 -> 250 kg.

        >>> round(front_ballast_advice(9806.65, 5 * 9806.65, 2.5, 0.0, 0.2).amount)
        250
    """
    short = least_share * (front_load + rear_load) - front_load
    mass = short / (1 + ballast_overhang / wheelbase - least_share) / GRAVITY
    if mass <= 0:
        return None
    return Advice("add-front-ballast", mass, "kg")
