"""Length of a telescoping driveline: overlap, end clearance, what to cut, and the verdict.

Conventions. The halves are measured from their own yoke seats, a span from seat to seat; where a
span is measured between joint centers, the halves are too. The longer half bottoms first.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

Half = Annotated[float, In("m", 0.1, 5.0)]
Span = Annotated[float, In("m", 0.05, 8.0)]
Requirement = Annotated[float, In("m", 0.0, 1.0)]
Bend = Annotated[float, In("rad", 0.0, math.pi / 2)]

# Two operator manuals' pages of one origin: 6 in of overlap drawn out, 2 in of clearance pushed in.
USUAL_OVERLAP: Final = 0.1524
USUAL_CLEARANCE: Final = 0.0508

Failing = Literal["overlap", "end-clearance", "tractor-joint-angle", "machine-joint-angle"]

ROUNDING: Final = 1e-9  # m; sums of measured lengths that should be equal differ by less


@dataclass(frozen=True)
class Verdict:
    """Whether the driveline may be run as it is; `failing` is what is against it."""

    fits: bool
    failing: tuple[Failing, ...]
    overlap: Annotated[float, Unit("m")]
    end_clearance: Annotated[float, Unit("m")]


@dataclass(frozen=True)
class HalfLengths:
    """Shortest and longest equal halves that suit both extremes."""

    least: Annotated[float, Unit("m")]
    most: Annotated[float, Unit("m")]


@rule("driveline.overlap")
def overlap(outer: Half, inner: Half, span: Span) -> Annotated[float, Unit("m")]:
    """Overlap of the halves of a telescoping driveline.

    Inputs:
        outer: m, 0.1 to 5. Usable length of the outer half from its yoke seat.
        inner: m, 0.1 to 5. Usable length of the inner half from its yoke seat.
        span: m, 0.05 to 8. Seat to seat; take the longest pose.
    Result: m; below zero the halves have come apart.
    Formula: outer + inner - span.
    Source: arithmetic; what is wanted by operator manuals is 6 in (152 mm) or a third.
    Example: by hand: halves of 1.0 m at 1.8 m -> 0.2 m.

        >>> round(overlap(1.0, 1.0, 1.8), 9)
        0.2
    """
    return outer + inner - span


@rule("driveline.end_clearance")
def end_clearance(outer: Half, inner: Half, span: Span) -> Annotated[float, Unit("m")]:
    """End clearance of a telescoping driveline before the longer half bottoms.

    Inputs:
        outer: m, 0.1 to 5. Usable length of the outer half from its yoke seat.
        inner: m, 0.1 to 5. Usable length of the inner half from its yoke seat.
        span: m, 0.05 to 8. Seat to seat; take the shortest pose.
    Result: m; below zero it bottoms and loads the bearings of tractor and machine.
    Formula: span - the longer half.
    Source: arithmetic; what is wanted by operator manuals is 2 in (51 mm).
    Example: by hand: halves of 1.0 and 0.9 m at 1.05 m -> 0.05 m.

        >>> round(end_clearance(1.0, 0.9, 1.05), 9)
        0.05
    """
    return span - max(outer, inner)


@rule("driveline.length_change")
def length_change(
    outer: Half,
    inner: Half,
    longest: Span,
    shortest: Span,
    least_overlap: Requirement = USUAL_OVERLAP,
    least_clearance: Requirement = USUAL_CLEARANCE,
) -> Annotated[float, Unit("m")]:
    """Equal change in length of both halves that makes the driveline fit.

    Inputs:
        outer: m, 0.1 to 5. Usable length of the outer half from its yoke seat.
        inner: m, 0.1 to 5. Usable length of the inner half from its yoke seat.
        longest: m, 0.05 to 8. Seat to seat in the longest pose.
        shortest: m, 0.05 to 8. Seat to seat in the shortest pose.
        least_overlap: m, 0 to 1. Overlap the manufacturer wants in the longest pose.
        least_clearance: m, 0 to 1. Clearance the manufacturer wants in the shortest pose.
    Result: m. For each half: negative is to cut off, positive to add, 0 fits.
    Formula: cut what clearance lacks, or add half of what overlap lacks; each cut of both halves
        takes twice as much off the overlap.
    Source: arithmetic; equal shortening of both tubes and guards is published practice.
    Example: by hand: halves of 1.00 m, 1.60 and 1.02 m, wanted 0.15 and 0.05 -> cut 0.03 m.

        >>> round(length_change(1.0, 1.0, 1.6, 1.02, 0.15, 0.05), 9)
        -0.03
    """
    _in_order(longest, shortest)
    spare_overlap = overlap(outer, inner, longest) - least_overlap + ROUNDING
    spare_clearance = end_clearance(outer, inner, shortest) - least_clearance + ROUNDING
    if spare_overlap >= 0 and spare_clearance >= 0:
        return 0.0
    if spare_overlap < 0 and spare_clearance < 0:
        raise RuleRefusal("outer", "driveline-unfit")
    if spare_clearance < 0:
        if spare_overlap + 2 * spare_clearance < 0:
            raise RuleRefusal("outer", "driveline-unfit-when-cut")
        return spare_clearance - ROUNDING
    if spare_clearance + spare_overlap / 2 < 0:
        raise RuleRefusal("outer", "driveline-unfit-when-lengthened")
    return (ROUNDING - spare_overlap) / 2


def _in_order(longest: float, shortest: float) -> None:
    if shortest > longest:
        raise RuleRefusal("shortest", "spans-swapped")


@rule("driveline.length_advice")
def length_advice(
    outer: Half,
    inner: Half,
    longest: Span,
    shortest: Span,
    least_overlap: Requirement = USUAL_OVERLAP,
    least_clearance: Requirement = USUAL_CLEARANCE,
) -> Advice:
    """Advice on the driveline's length.

    Inputs:
        outer: m, 0.1 to 5. Usable length of the outer half from its yoke seat.
        inner: m, 0.1 to 5. Usable length of the inner half from its yoke seat.
        longest: m, 0.05 to 8. Seat to seat in the longest pose.
        shortest: m, 0.05 to 8. Seat to seat in the shortest pose.
        least_overlap: m, 0 to 1. Overlap the manufacturer wants in the longest pose.
        least_clearance: m, 0 to 1. Clearance the manufacturer wants in the shortest pose.
    Result: advice in m.
    Formula: cut what clearance lacks, or add half of what overlap lacks; each cut of both halves
        takes twice as much off the overlap.
    Source: operator manuals: same cut off both tubes and both guards, deburr, grease, recheck.
    Example: by hand: halves of 1.00 m, 1.60 and 1.02 m, wanted 0.15 and 0.05 -> cut 0.03 m.

        >>> round(length_advice(1.0, 1.0, 1.6, 1.02, 0.15, 0.05).amount, 9)
        0.03
    """
    change = length_change(outer, inner, longest, shortest, least_overlap, least_clearance)
    if change == 0:
        return Advice("driveline-fits", overlap(outer, inner, longest), "m")
    if change < 0:
        return Advice("cut-driveline", -change, "m")
    return Advice("lengthen-driveline", change, "m")


@rule("driveline.half_lengths")
def half_lengths(
    longest: Span,
    shortest: Span,
    least_overlap: Requirement = USUAL_OVERLAP,
    least_clearance: Requirement = USUAL_CLEARANCE,
) -> HalfLengths:
    """Length of equal halves to order for a tractor and machine.

    Inputs:
        longest: m, 0.05 to 8. Seat to seat in the longest pose.
        shortest: m, 0.05 to 8. Seat to seat in the shortest pose.
        least_overlap: m, 0 to 1. Overlap the manufacturer wants in the longest pose.
        least_clearance: m, 0 to 1. Clearance the manufacturer wants in the shortest pose.
    Result: least and most length of each half in m, from its yoke seat.
    Formula: from (longest + overlap) / 2 to shortest - clearance.
    Source: arithmetic of overlap and end clearance.
    Example: by hand: 1.60 and 1.02 m, wanted 0.15 and 0.05 -> 0.875 to 0.97 m.

        >>> halves = half_lengths(1.6, 1.02, 0.15, 0.05)
        >>> round(halves.least, 9), round(halves.most, 9)
        (0.875, 0.97)
    """
    _in_order(longest, shortest)
    least, most = (longest + least_overlap) / 2, shortest - least_clearance
    if least > most + ROUNDING:
        raise RuleRefusal("longest", "slides-too-far")
    return HalfLengths(least, most)


@rule("driveline.verdict")
def verdict(
    outer: Half,
    inner: Half,
    longest: Span,
    shortest: Span,
    tractor_angle: Bend,
    machine_angle: Bend,
    least_overlap: Requirement,
    least_clearance: Requirement,
    most_tractor_angle: Bend,
    most_machine_angle: Bend,
) -> Verdict:
    """Verdict on the driveline against the manufacturer's limits.

    Inputs:
        outer: m, 0.1 to 5. Usable length of the outer half from its yoke seat.
        inner: m, 0.1 to 5. Usable length of the inner half from its yoke seat.
        longest: m, 0.05 to 8. Seat to seat in the longest pose.
        shortest: m, 0.05 to 8. Seat to seat in the shortest pose.
        tractor_angle: rad, 0 to 1.5708. Greatest angle of the tractor's joint.
        machine_angle: rad, 0 to 1.5708. Greatest angle of the machine's joint.
        least_overlap: m, 0 to 1. Manufacturer's overlap in the longest pose.
        least_clearance: m, 0 to 1. Manufacturer's clearance in the shortest pose.
        most_tractor_angle: rad, 0 to 1.5708. Manufacturer's limit for the tractor's joint.
        most_machine_angle: rad, 0 to 1.5708. Manufacturer's limit for the machine's joint.
    Result: whether it fits, what fails, overlap and end clearance in m.
    Formula: each quantity against its limit; the limit itself is allowed.
    Source: the manufacturer's limits as entered; arithmetic of overlap and end clearance.
    Example: by hand: halves of 1.00 m at 1.60 and 1.02 m, wanted 0.15 and 0.05 -> bottoms.

        >>> verdict(1.0, 1.0, 1.6, 1.02, 0.3, 0.3, 0.15, 0.05, 0.4, 0.4).failing
        ('end-clearance',)
    """
    _in_order(longest, shortest)
    drawn_out = overlap(outer, inner, longest)
    pushed_in = end_clearance(outer, inner, shortest)
    checks: tuple[tuple[Failing, float], ...] = (
        ("overlap", drawn_out - least_overlap),
        ("end-clearance", pushed_in - least_clearance),
        ("tractor-joint-angle", most_tractor_angle - tractor_angle),
        ("machine-joint-angle", most_machine_angle - machine_angle),
    )
    failing = tuple(name for name, spare in checks if spare < -ROUNDING)
    return Verdict(not failing, failing, drawn_out, pushed_in)
