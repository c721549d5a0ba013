"""Torque wrenches: usable range, deviation, calibration interval and offset adapters."""

import calendar
import math
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.phrase import Amount

LEAST_SHARE: Final = 0.20  # of full scale
BEST_SHARE: Final = 0.60  # middle of the usable range
CALIBRATION_MONTHS: Final = 12
CALIBRATION_CYCLES: Final = 5000
SMALL_TOOL: Final = 10.0  # N·m; ISO 6789 allows tools up to here more

# ISO 6789, greatest deviation of the reading: (tools up to 10 N·m, larger tools). Only type II
# class A was seen in print; the other rows: value from memory.
DEVIATIONS: Final[dict[str, tuple[float, float]]] = {
    "type I class A": (0.06, 0.04),
    "type I class B": (0.04, 0.04),
    "type I class C": (0.04, 0.04),
    "type I class D": (0.06, 0.04),
    "type I class E": (0.04, 0.04),
    "type II class A": (0.06, 0.04),
    "type II class B": (0.06, 0.04),
    "type II class C": (0.06, 0.04),
    "type II class D": (0.06, 0.06),
    "type II class E": (0.06, 0.06),
    "type II class F": (0.06, 0.06),
    "type II class G": (0.06, 0.06),
}


def _leverage(length: float, extension: float, angle: float) -> float:
    """Effective length over the wrench's own; RuleRefusal when the adapter takes it all away."""
    effective = length + extension * math.cos(angle)
    if effective <= 0:
        raise RuleRefusal("extension", "adapter-cancels-wrench")
    return effective / length


@rule("torque_tools.setting")
def setting(
    torque: Annotated[float, In("N·m", 0.0, 20_000.0)],
    length: Annotated[float, In("m", 0.05, 3.0)],
    extension: Annotated[float, In("m", 0.0, 1.0)],
    angle: Annotated[float, In("rad", 0.0, math.pi)] = 0.0,
) -> Annotated[float, Unit("N·m")]:
    """Torque wrench setting with an offset adapter.

    Inputs:
        torque: N·m, 0 to 20000. Torque wanted at the nut.
        length: m, 0.05 to 3. Wrench from the middle of its drive to the middle of the grip.
        extension: m, 0 to 1. Adapter from the middle of the drive to the middle of the nut.
        angle: rad, 0 to 3.14159. Between adapter and wrench: 0 straight on, a right angle to the
            side (no correction), half a turn back along the handle.
    Result: N·m on the wrench.
    Formula: setting = torque x L / (L + E cos(angle)).
    Source: US Navy training text NAVEDTRA 14315; restated on public pages. Dividing by one plus
        the adapter's length in feet is right for a wrench 12 in long only.
    Example: 100 at L 12 in with E 6 in -> 66.7.

        >>> round(setting(100.0, 12 * 0.0254, 6 * 0.0254), 1)
        66.7
    """
    return torque / _leverage(length, extension, angle)


@rule("torque_tools.true_torque")
def true_torque(
    reading: Annotated[float, In("N·m", 0.0, 20_000.0)],
    length: Annotated[float, In("m", 0.05, 3.0)],
    extension: Annotated[float, In("m", 0.0, 1.0)],
    angle: Annotated[float, In("rad", 0.0, math.pi)] = 0.0,
) -> Annotated[float, Unit("N·m")]:
    """Torque at the nut from a wrench with an offset adapter.

    Inputs:
        reading: N·m, 0 to 20000. What the wrench showed or was set to.
        length: m, 0.05 to 3. Wrench from the middle of its drive to the middle of the grip.
        extension: m, 0 to 1. Adapter from the middle of the drive to the middle of the nut.
        angle: rad, 0 to 3.14159. Between adapter and wrench: 0 straight on, a right angle to the
            side (no correction), half a turn back along the handle.
    Result: N·m at the nut.
    Formula: torque = reading x (L + E cos(angle)) / L.
    Source: the formula of the setting, turned round; published pair on a public page.
    Example: set to 100 N·m, L 500 mm, 650 mm in all -> 130 N·m.

        >>> round(true_torque(100.0, 0.5, 0.15), 9)
        130.0
    """
    return reading * _leverage(length, extension, angle)


@dataclass(frozen=True)
class Scale:
    """Usable range of a wrench's scale."""

    least: Annotated[float, Unit("N·m")]
    greatest: Annotated[float, Unit("N·m")]


@rule("torque_tools.usable_scale")
def usable_scale(full_scale: Annotated[float, In("N·m", 0.1, 20_000.0)]) -> Scale:
    """Usable range of a torque wrench's scale.

    Inputs:
        full_scale: N·m, 0.1 to 20000. Largest torque marked on the wrench.
    Result: least and greatest torque, N·m; both still allowed.
    Formula: 0.20 x full scale to full scale.
    Source: ISO 6789, whose calibration points are 20 %, 60 % and 100 % of full scale.
    Example: a wrench marked to 200 N·m -> 40 to 200 N·m (computed).

        >>> usable_scale(200.0)
        Scale(least=40.0, greatest=200.0)
    """
    return Scale(LEAST_SHARE * full_scale, full_scale)


@rule("torque_tools.choice")
def choice(
    torque: Annotated[float, In("N·m", 0.01, 20_000.0)],
    full_scales: Annotated[tuple[float, ...], In("N·m", 0.1, 20_000.0)],
) -> Annotated[float, Unit("N·m")]:
    """Choice of a torque wrench by its usable range.

    Inputs:
        torque: N·m, 0.01 to 20000. Torque to set, corrected for any adapter.
        full_scales: N·m, 0.1 to 20000. Largest torque of each wrench at hand.
    Result: N·m, the full scale of the wrench to take.
    Formula: of the wrenches with the torque between 20 and 100 % of their scale, the one where
        it lies nearest to 60 %.
    Source: ISO 6789 for the usable range; the middle of it: common practice, no published source.
    Example: 120 N·m with wrenches of 60, 200 and 800 N·m -> 200 N·m (computed).

        >>> choice(120.0, (60.0, 200.0, 800.0))
        200.0
    """
    fitting = [scale for scale in full_scales if LEAST_SHARE * scale <= torque <= scale]
    if not fitting:
        raise RuleRefusal(
            "full_scales",
            "no-wrench-in-range",
            torque=Amount(torque, "N·m"),
            most=Amount(torque / LEAST_SHARE, "N·m"),
        )
    return min(fitting, key=lambda scale: abs(torque / scale - BEST_SHARE))


@dataclass(frozen=True)
class Deviation:
    """Least and greatest true torque behind a wrench's reading."""

    share: Annotated[float, Unit("1")]
    least: Annotated[float, Unit("N·m")]
    greatest: Annotated[float, Unit("N·m")]


@rule("torque_tools.deviation")
def deviation(
    reading: Annotated[float, In("N·m", 0.0, 20_000.0)],
    full_scale: Annotated[float, In("N·m", 0.1, 20_000.0)],
    tool_class: Annotated[str, OneOf(tuple(DEVIATIONS))] = "type II class A",
) -> Deviation:
    """Permissible deviation of a torque wrench by its class.

    Inputs:
        reading: N·m, 0 to 20000. What the wrench shows or is set to.
        full_scale: N·m, 0.1 to 20000. Largest torque marked on the wrench.
        tool_class: one of type I class A, type I class B, type I class C, type I class D, type I
            class E, type II class A, type II class B, type II class C, type II class D, type II
            class E, type II class F, type II class G. From its certificate; type II class A is
            the common click wrench.
    Result: greatest deviation as a share (1), and the least and greatest torque in N·m.
    Formula: reading x (1 - share) to reading x (1 + share); type II class A: 4 %, or 6 % for a
        tool of 10 N·m or less.
    Source: ISO 6789 by a manual that restates it (type II class A); other classes: value from
        memory.
    Example: set to 100 N·m -> 96 to 104 N·m.

        >>> deviation(100.0, 200.0)
        Deviation(share=0.04, least=96.0, greatest=104.0)
    """
    if reading > full_scale:
        raise RuleRefusal("reading", "past-full-scale")
    small, large = DEVIATIONS[tool_class]
    share = small if full_scale <= SMALL_TOOL else large
    return Deviation(share, reading * (1 - share), reading * (1 + share))


def due_on(calibrated_on: date, months: int = CALIBRATION_MONTHS) -> date:
    """Last day a wrench may be used on a calibration, use aside.

    Source: ISO 6789, 12 months where the owner's procedure says nothing else.
    """
    year, month0 = divmod(calibrated_on.year * 12 + calibrated_on.month - 1 + months, 12)
    last = calendar.monthrange(year, month0 + 1)[1]
    return date(year, month0 + 1, min(calibrated_on.day, last))


def is_due(
    calibrated_on: date,
    cycles: int,
    today: date,
    months: int = CALIBRATION_MONTHS,
    most_cycles: int = CALIBRATION_CYCLES,
) -> bool:
    """Whether a wrench must be calibrated before it is used again: 12 months or 5000 cycles.

    Source: ISO 6789, whichever comes first. A drop or an overload makes it due at once (FAA
    AC 43.13-1B); whoever records the drop says so.
    """
    return today > due_on(calibrated_on, months) or cycles >= most_cycles
