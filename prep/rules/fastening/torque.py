"""Tightening torque by nut factor, the short form torque charts are made with.

A chart is only as good as its basis: nut factor, share of proof and area. Every answer here states
its basis through its inputs. A manufacturer's own figure always goes before a general chart.
"""

from dataclasses import dataclass
from typing import Annotated, Final

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, OneOf, RuleRefusal, Unit, rule
from prep.rules.fastening.fastener_grades import GradeName
from prep.rules.fastening.fasteners import REUSABLE, clamp_load, strength
from prep.rules.fastening.threads import SERIES, THREADS, ThreadName, threads_in

DRY: Final = 0.20
OILED: Final = 0.15  # the careful choice where too much torque is the danger

# Condition of the threads: least, usual and greatest nut factor seen in published charts,
# laboratory series and a US machine-design textbook. All of them scatter widely.
NUT_FACTORS: Final[dict[str, tuple[float, float, float]]] = {
    "plain, dry": (0.18, 0.20, 0.30),
    "zinc plated, dry": (0.17, 0.20, 0.35),
    "oiled": (0.10, 0.15, 0.26),
    "cadmium plated": (0.13, 0.16, 0.19),
    "anti-seize": (0.12, 0.12, 0.16),
    "waxed": (0.09, 0.12, 0.14),
    "phosphate and oil": (0.15, 0.18, 0.22),
    "stainless on stainless, dry": (0.30, 0.40, 0.50),
}


@dataclass(frozen=True)
class NutFactor:
    """Nut factors published for one condition of the threads."""

    least: Annotated[float, Unit("1")]
    usual: Annotated[float, Unit("1")]
    greatest: Annotated[float, Unit("1")]


@rule("torque.nut_factor")
def nut_factor(condition: Annotated[str, OneOf(tuple(NUT_FACTORS))]) -> NutFactor:
    """Nut factor by the condition of the threads.

    Inputs:
        condition: one of plain, dry, zinc plated, dry, oiled, cadmium plated, anti-seize, waxed,
            phosphate and oil, stainless on stainless, dry. As the joint goes together.
    Result: least, usual and greatest nut factor seen in print; 1.
    Formula: read from a table. A nut factor is not a coefficient of friction.
    Source: distributor charts, laboratory ranges, and a US machine-design textbook (9th edition,
        table 8-15); most charts take 0.20 dry and 0.15 oiled.
    Example: anti-seize -> 0.12 in the textbook.

        >>> nut_factor("anti-seize").usual
        0.12
    """
    return NutFactor(*NUT_FACTORS[condition])


@rule("torque.from_clamp_load")
def from_clamp_load(
    diameter: Annotated[float, In("m", 0.001, 0.16)],
    clamp: Annotated[float, In("N", 0.0, 5e6)],
    factor: Annotated[float, In("1", 0.05, 0.6)] = DRY,
) -> Annotated[float, Unit("N·m")]:
    """Torque for a clamp load by nut factor.

    Inputs:
        diameter: m, 0.001 to 0.16. Nominal diameter of the thread.
        clamp: N, 0 to 5000000. Load wanted in the bolt.
        factor: 1, 0.05 to 0.6. Nut factor K: 0.20 dry, 0.15 oiled in most charts.
    Result: N·m.
    Formula: T = K D F.
    Source: machine-design textbooks and every general torque chart.
    Example: 3/4 in, 25 kip, K 0.20 -> 3750 lbf-in (Mechanical Engineering Design, example 8-3).

        >>> round(from_clamp_load(0.01905, 25000 * 4.4482216, 0.20) / 0.11298483)
        3750
    """
    return factor * diameter * clamp


@dataclass(frozen=True)
class ClampRange:
    """Clamp load a torque makes: as computed, and the ends of its scatter."""

    nominal: Annotated[float, Unit("N")]
    least: Annotated[float, Unit("N")]
    greatest: Annotated[float, Unit("N")]


@rule("torque.clamp_range")
def clamp_range(
    diameter: Annotated[float, In("m", 0.001, 0.16)],
    torque: Annotated[float, In("N·m", 0.0, 20_000.0)],
    factor: Annotated[float, In("1", 0.05, 0.6)] = DRY,
    scatter: Annotated[float, In("1", 0.0, 0.9)] = 0.35,
) -> ClampRange:
    """Clamp load from a torque, with its scatter.

    Inputs:
        diameter: m, 0.001 to 0.16. Nominal diameter of the thread.
        torque: N·m, 0 to 20000. Torque at the nut.
        factor: 1, 0.05 to 0.6. Nut factor K.
        scatter: 1, 0 to 0.9. Torque wrench: 0.35 on dry threads, 0.25 on oiled ones.
    Result: nominal, least and greatest clamp load, N.
    Formula: F = T / (K D), times (1 - scatter) and (1 + scatter).
    Source: space-agency criteria for preloaded bolts, restated in doi 10.1007/s11668-019-00693-z.
    Example: 3/4 in, 3750 lbf-in, K 0.20 -> 25 kip (Mechanical Engineering Design, example 8-3).

        >>> round(clamp_range(0.01905, 3750 * 0.11298483, 0.20).nominal / 4448.2216, 2)
        25.0
    """
    nominal = torque / (factor * diameter)
    return ClampRange(nominal, nominal * (1 - scatter), nominal * (1 + scatter))


@dataclass(frozen=True)
class BoltTorque:
    """Clamp load of a bolt and the torque that makes it."""

    clamp_load: Annotated[float, Unit("N")]
    torque: Annotated[float, Unit("N·m")]


@rule("torque.by_nut_factor")
def by_nut_factor(
    thread: ThreadName,
    grade: GradeName,
    factor: Annotated[float, In("1", 0.05, 0.6)] = DRY,
    share_of_proof: Annotated[float, In("1", 0.1, 1.0)] = REUSABLE,
    length: Annotated[float | None, In("m", 0.005, 3.0)] = None,
) -> BoltTorque:
    """Torque for a bolt by thread, grade and nut factor.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        factor: 1, 0.05 to 0.6. Nut factor K: 0.20 dry, 0.15 oiled in most charts.
        share_of_proof: 1, 0.1 to 1. 0.75 for a joint that comes apart again, 0.90 for one that
            stays.
        length: m, 0.005 to 3. Under the head to the end; asked for by grade 2 only.
    Result: clamp load in N, torque in N·m.
    Formula: T = K D F with F = share x Sp x At.
    Source: published torque charts to SAE J429 and ISO 898-1 at 75 % of proof.
    Example: 3/4-10 grade 8, K 0.20 -> 376 lbf-ft.

        >>> round(by_nut_factor("3/4-10 UNC", "grade 8", 0.20).torque / 1.35581795)
        376
    """
    clamp = clamp_load(thread, grade, share_of_proof, length)
    return BoltTorque(clamp, from_clamp_load(THREADS[thread].diameter, clamp, factor))


@dataclass(frozen=True)
class TorqueRow:
    """One size of a torque table; one torque for each nut factor asked for."""

    thread: str
    clamp_load: Annotated[float, Unit("N")]
    torques: Annotated[tuple[float, ...], Unit("N·m")]


@dataclass(frozen=True)
class TorqueTable:
    """A torque table; its basis is the rule's inputs."""

    rows: tuple[TorqueRow, ...]


@rule("torque.table")
def table(
    series: Annotated[str, OneOf(SERIES)],
    grade: GradeName,
    factors: Annotated[tuple[float, ...], In("1", 0.05, 0.6)] = (0.15, 0.18, 0.20),
    share_of_proof: Annotated[float, In("1", 0.1, 1.0)] = REUSABLE,
) -> TorqueTable:
    """Torque table of a thread series in one grade.

    Inputs:
        series: one of UNC, UNF, UNS, metric coarse, metric fine. Thread series.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            Sizes it is not made in are left out.
        factors: 1, 0.05 to 0.6. Nut factors, one column each.
        share_of_proof: 1, 0.1 to 1. 0.75 for joints that come apart again, 0.90 for others.
    Result: for each size its clamp load in N and its torques in N·m.
    Formula: T = K D F with F = share x Sp x At.
    Source: published torque charts to SAE J429 and ISO 898-1 at 75 % of proof.
    Example: grade 8, 1/4-20 -> 107, 129 and 143 lbf-in.

        >>> row = table("UNC", "grade 8").rows[0]
        >>> row.thread, [round(torque / 0.11298483) for torque in row.torques]
        ('1/4-20 UNC', [107, 129, 143])
    """
    if not factors:
        raise RuleRefusal("factors", "no-nut-factor")
    rows = []
    refusal = None
    for thread in threads_in(series):
        try:
            clamp = clamp_load(thread.designation, grade, share_of_proof)
        except RuleRefusal as refused:
            refusal = refused
            continue
        torques = tuple(from_clamp_load(thread.diameter, clamp, factor) for factor in factors)
        rows.append(TorqueRow(thread.designation, clamp, torques))
    if refusal and not rows:
        raise refusal
    return TorqueTable(tuple(rows))


@rule("torque.yield_torque")
def yield_torque(
    thread: ThreadName,
    grade: GradeName,
    factor: Annotated[float, In("1", 0.05, 0.6)] = OILED,
    length: Annotated[float | None, In("m", 0.005, 3.0)] = None,
) -> Annotated[float, Unit("N·m")]:
    """Torque at which a bolt reaches its yield strength.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        factor: 1, 0.05 to 0.6. Nut factor K. A slippery thread yields at less torque, so 0.15 is
            taken where the condition is not known.
        length: m, 0.005 to 3. Under the head to the end; asked for by grade 2 only.
    Result: N·m.
    Formula: T = K D Sy At. The twist left by tightening is not counted; with it the bolt yields
        earlier still, see the assembly preload by friction.
    Source: SAE J429 and ISO 898-1 yield strengths with the nut-factor formula; no published table.
    Example: grade 5, 1/2-13, K 0.20: 0.20 x 0.5 in x 92 000 psi x 0.1419 in^2 / 12 -> 109 lbf-ft
        (computed by hand).

        >>> round(yield_torque("1/2-13 UNC", "grade 5", 0.20) / 1.35581795)
        109
    """
    load = strength(thread, grade, length).yield_load
    return from_clamp_load(THREADS[thread].diameter, load, factor)


@rule("torque.past_yield")
def past_yield(
    thread: ThreadName,
    grade: GradeName,
    torque: Annotated[float, In("N·m", 0.0, 20_000.0)],
    factor: Annotated[float, In("1", 0.05, 0.6)] = OILED,
    length: Annotated[float | None, In("m", 0.005, 3.0)] = None,
) -> Advice | None:
    """Whether a torque has yielded the bolt.

    Inputs:
        thread: one of the designations in the table, such as 1/2-13 UNC, M12 or M12x1.25. The
            bolt's thread.
        grade: one of the grades in the table, such as grade 5, A325 or class 8.8.
            From the marking on the head.
        torque: N·m, 0 to 20000. True torque at the nut, corrected for any adapter.
        factor: 1, 0.05 to 0.6. Nut factor K. A slippery thread yields at less torque, so 0.15 is
            taken where the condition is not known.
        length: m, 0.005 to 3. Under the head to the end; asked for by grade 2 only.
    Result: advice to replace the fastener, with the torque in N·m it yields at; nothing when the
        torque stays at or below it.
    Formula: torque > K D Sy At.
    Source: as for the yield torque; replacing a yielded bolt is common practice, no published
        source.
    Example: 1/2-13 grade 5 at the chart's 75 lbf-ft -> no advice.

        >>> past_yield("1/2-13 UNC", "grade 5", 75 * 1.35581795) is None
        True
    """
    limit = yield_torque(thread, grade, factor, length)
    if torque <= limit:
        return None
    return Advice("replace-yielded-bolt", limit, "N·m")
