"""Bolt and nut strength, and the clamp load to tighten to."""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.fastening.fastener_grades import GradeName, NutName, nut_load, strength_row
from prep.rules.fastening.threads import THREADS, ThreadName

REUSABLE: Final = 0.75  # share of proof load for a joint that is taken apart again
STRUCTURAL: Final = 0.70  # share of tensile load for a structural joint, AISC table J3.1
METRIC_STRUCTURAL: Final = {"A325M": 830e6, "A490M": 1040e6}  # Pa, by which that table reproduces


@dataclass(frozen=True)
class Strength:
    """Stresses a bolt's grade promises and the loads they make in its thread."""

    proof_stress: Annotated[float, Unit("Pa")]
    yield_stress: Annotated[float, Unit("Pa")]
    tensile_stress: Annotated[float, Unit("Pa")]
    proof_load: Annotated[float, Unit("N")]
    yield_load: Annotated[float, Unit("N")]
    tensile_load: Annotated[float, Unit("N")]


@rule("fasteners.strength")
def strength(
    thread: ThreadName,
    grade: GradeName,
    length: Annotated[float | None, In("m", 0.005, 3.0)] = None,
) -> Strength:
    """Proof, yield and tensile strength of a bolt.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        length: m, 0.005 to 3. Under the head to the end; only grade 2 asks for it, which over
            6 in is no stronger than grade 1. Left out: 6 in or shorter.
    Result: stresses in Pa, loads in N.
    Formula: load = stress x tensile stress area; stress by the row for this grade and size.
    Source: SAE J429, ASTM A307, A325, A449, A354, A490, ISO 898-1. Sizes at which figures change:
        grade 2 over 3/4 in, grade 5 over 1 in, class 8.8 over M16.
    Example: 3/4-10 grade 8 -> proof load 40 100 lbf in a military data sheet.

        >>> round(strength("3/4-10 UNC", "grade 8").proof_load / 4.4482216, -2)
        40100.0
    """
    row = strength_row(THREADS[thread], grade, length)
    area = THREADS[thread].stress_area
    return Strength(
        proof_stress=row.proof,
        yield_stress=row.yield_,
        tensile_stress=row.tensile,
        proof_load=row.proof * area,
        yield_load=row.yield_ * area,
        tensile_load=row.tensile * area,
    )


@rule("fasteners.clamp_load")
def clamp_load(
    thread: ThreadName,
    grade: GradeName,
    share_of_proof: Annotated[float, In("1", 0.1, 1.0)] = REUSABLE,
    length: Annotated[float | None, In("m", 0.005, 3.0)] = None,
) -> Annotated[float, Unit("N")]:
    """Clamp load to tighten a bolt to.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        share_of_proof: 1, 0.1 to 1. 0.75 for a joint that comes apart again, 0.90 for one that
            stays.
        length: m, 0.005 to 3. Under the head to the end; asked for by grade 2 only.
    Result: N.
    Formula: F = share x Sp x At.
    Source: published torque charts to SAE J429 at 75 % of proof.
    Example: 1/2-13 grade 5 -> 9046 lbf.

        >>> round(clamp_load("1/2-13 UNC", "grade 5") / 4.4482216)
        9046
    """
    return share_of_proof * strength(thread, grade, length).proof_load


@rule("fasteners.structural_pretension")
def structural_pretension(
    thread: ThreadName,
    grade: Annotated[str, OneOf(("A325", "A490", "A325M", "A490M"))],
) -> Annotated[float, Unit("N")]:
    """Minimum pretension of a structural bolt.

    Inputs:
        thread: one of the designations in the table, such as 3/4-10 UNC or M20. The bolt's thread.
        grade: one of A325, A490, A325M, A490M. The last two are the metric bolts.
    Result: N.
    Formula: 0.70 x tensile stress x tensile stress area, before rounding to the table's unit.
        A325M has 830 MPa and A490M 1040 MPa in every size.
    Source: AISC table J3.1 and the RCSC specification.
    Example: A325, 3/4-10 -> 28 kip.

        >>> round(structural_pretension("3/4-10 UNC", "A325") / 4448.2216)
        28
    """
    if grade not in METRIC_STRUCTURAL:
        return STRUCTURAL * strength(thread, grade).tensile_load
    size = THREADS[thread]
    if size.series != "metric coarse" or not 0.016 <= size.diameter <= 0.036:
        raise RuleRefusal("thread", "not-a-structural-size", grade=grade, thread=thread)
    return STRUCTURAL * METRIC_STRUCTURAL[grade] * size.stress_area


@rule("fasteners.nut_proof")
def nut_proof(thread: ThreadName, nut: NutName) -> Annotated[float, Unit("N")]:
    """Proof load of a nut.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC or M12. The nut's thread.
        nut: one of nut grade 2, nut grade 5, nut grade 8, nut class 8, nut class 10, nut class
            12. From the marking on the nut.
    Result: N.
    Formula: inch: proof stress x tensile stress area of the bolt that goes with it; metric: as
        tabulated for coarse pitch.
    Source: SAE J995 for coarse threads (fine threads of grades 2 and 5: value from memory);
        ISO 898-2.
    Example: M12 nut of class 10 -> 88 500 N.

        >>> nut_proof("M12", "nut class 10")
        88500.0
    """
    return nut_load(THREADS[thread], nut)


@dataclass(frozen=True)
class NutMatch:
    """Proof load of a nut compared with the strength of its bolt."""

    nut_proof_load: Annotated[float, Unit("N")]
    bolt_tensile_load: Annotated[float, Unit("N")]
    strong_enough: bool


@rule("fasteners.nut_match")
def nut_match(thread: ThreadName, grade: GradeName, nut: NutName) -> NutMatch:
    """Whether a nut is as strong as its bolt.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC or M12. Of bolt and nut.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the bolt's head.
        nut: one of nut grade 2, nut grade 5, nut grade 8, nut class 8, nut class 10, nut class
            12. From the marking on the nut.
    Result: nut proof load and bolt tensile load in N, and whether the first reaches the second.
    Formula: nut proof load >= bolt tensile stress x tensile stress area, so that the bolt breaks
        before the nut strips.
    Source: the note under most published torque charts; SAE J995, ISO 898-2.
    Example: M12 class 10.9 with a nut of class 10 -> 88 500 N holds the bolt's 87 700 N.

        >>> nut_match("M12", "class 10.9", "nut class 10").strong_enough
        True
    """
    held = nut_load(THREADS[thread], nut)
    pulled = strength(thread, grade).tensile_load
    return NutMatch(held, pulled, held >= pulled)


@rule("fasteners.turn_of_nut")
def turn_of_nut(
    diameter: Annotated[float, In("m", 0.0127, 0.0381)],
    length: Annotated[float, In("m", 0.01, 0.5)],
) -> Annotated[float, Unit("1")]:
    """Turn-of-nut rotation from snug tight for a structural bolt.

    Inputs:
        diameter: m, 0.0127 to 0.0381. Nominal diameter.
        length: m, 0.01 to 0.5. Under the head to the end, both faces square to the bolt.
    Result: 1, turns of the nut.
    Formula: 1/3 turn up to 4 diameters long, 1/2 up to 8, 2/3 up to 12.
    Source: RCSC specification (its upper end of 12 diameters: value from memory).
    Example: 3/4 in bolt, 3 in long -> a third of a turn.

        >>> round(turn_of_nut(0.01905, 0.0762), 3)
        0.333
    """
    # A length typed as a whole number of diameters must not miss its step by a rounding.
    diameters = round(length / diameter, 9)
    for longest, turns in ((4, 1 / 3), (8, 1 / 2), (12, 2 / 3)):
        if diameters <= longest:
            return turns
    raise RuleRefusal("length", "bolt-too-long")
