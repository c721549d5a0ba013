"""Decisions at a limit: guard bands, the risk they leave, and the instrument a decision needs.

Every length here is in the unit of the reading, whichever that is; "1" means just that. The state
of knowledge about a reading is normal, an expanded uncertainty has k = 2.

Source: JCGM 106:2012, ILAC-G8:09/2019, ISO 14253-1:2017.
"""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule
from prep.rules.conformity.judgment import Interval, conformance_probability, exact_acceptance
from prep.rules.conformity.normal import cumulative, quantile
from prep.rules.phrase import Amount

Value = Annotated[float, In("1", -1e12, 1e12)]
Length = Annotated[float, In("1", 0.0, 1e12)]
Positive = Annotated[float, In("1", 1e-12, 1e12)]
Risk = Annotated[float, In("1", 1e-9, 0.499)]
Ratio = Annotated[float, Unit("1")]


@dataclass(frozen=True)
class Acceptance:
    """Acceptance interval for a wanted conformance probability; not decidable when empty."""

    decidable: bool
    low: Annotated[float | None, Unit("1")]
    high: Annotated[float | None, Unit("1")]


@rule("decision.guard_factor")
def guard_factor(risk: Risk) -> Ratio:
    """Guard factor that keeps the risk of a wrong acceptance at one limit.

    Inputs:
        risk: 1, 1e-9 to 0.499. Largest risk for a reading exactly on the acceptance limit.
    Result: 1.
    Formula: r = z(1 - risk) / 2, so that w = r U.
    Source: ISO 14253-1:2017 (5 % gives 1.65 / 2, printed 0.83).
    Example: 5 % -> 0.82, rounded up to 0.83 in the standard.

        >>> round(guard_factor(0.05), 3)
        0.822
    """
    return quantile(1 - risk) / 2


@rule("decision.guard_risk")
def guard_risk(factor: Annotated[float, In("1", -5.0, 5.0)]) -> Ratio:
    """Risk of a wrong acceptance left on the acceptance limit by a guard factor.

    Inputs:
        factor: 1, -5 to 5. r in w = r U; 0 is simple acceptance, below 0 rejects late.
    Result: 1.
    Formula: standard normal distribution at -2 r.
    Source: ILAC-G8:09/2019, guard-band table.
    Example: w = U -> below 2.5 %.

        >>> round(guard_risk(1.0), 3) < 0.025
        True
    """
    return cumulative(-2 * factor)


@rule("decision.probability")
def probability(
    value: Value,
    standard_uncertainty: Length,
    low: Annotated[float | None, In("1", -1e12, 1e12)] = None,
    high: Annotated[float | None, In("1", -1e12, 1e12)] = None,
) -> Ratio:
    """Probability that what was measured conforms.

    Inputs:
        value: 1, -1e12 to 1e12. The value read.
        standard_uncertainty: 1, 0 to 1e12. Half the expanded one.
        low: 1, -1e12 to 1e12. Lower limit, if there is one.
        high: 1, -1e12 to 1e12. Upper limit, if there is one.
    Result: 1.
    Formula: Phi((high - y) / u) - Phi((low - y) / u).
    Source: JCGM 106:2012, 7.3 and 7.4.
    Example: y = 13.6, u = 1.8, limits 12.5 and 16.3 -> 0.66.

        >>> round(probability(13.6, 1.8, 12.5, 16.3), 2)
        0.66
    """
    return conformance_probability(
        Fraction(value), _interval(low, high), Fraction(standard_uncertainty)
    )


@rule("decision.acceptance")
def acceptance(
    standard_uncertainty: Length,
    wanted: Annotated[float, In("1", 0.5, 0.999999)] = 0.95,
    low: Annotated[float | None, In("1", -1e12, 1e12)] = None,
    high: Annotated[float | None, In("1", -1e12, 1e12)] = None,
) -> Acceptance:
    """Acceptance interval of an instrument, or that it cannot decide.

    Inputs:
        standard_uncertainty: 1, 0 to 1e12. Half the expanded one.
        wanted: 1, 0.5 to 0.999999. Least probability that what is accepted conforms.
        low: 1, -1e12 to 1e12. Lower limit, if there is one.
        high: 1, -1e12 to 1e12. Upper limit, if there is one.
    Result: decidable or not, low and high in the unit of the limits.
    Formula: where Phi((high - y) / u) - Phi((low - y) / u) crosses the wanted probability.
    Source: JCGM 106:2012, 7.3 (table 1) and 7.4.
    Example: at most 0, u = 1, wanted 0.95 -> up to -1.645.

        >>> round(acceptance(1.0, 0.95, high=0.0).high, 3)
        -1.645
    """
    interval = exact_acceptance(_interval(low, high), Fraction(standard_uncertainty), wanted)
    if interval is None:
        return Acceptance(False, None, None)
    return Acceptance(
        True,
        None if interval.low is None else float(interval.low),
        None if interval.high is None else float(interval.high),
    )


@rule("decision.capability")
def capability(low: Value, high: Value, expanded_uncertainty: Positive) -> Ratio:
    """Measurement capability index: how often the uncertainty fits into the tolerance.

    Inputs:
        low: 1, -1e12 to 1e12. Lower limit.
        high: 1, -1e12 to 1e12. Upper limit.
        expanded_uncertainty: 1, 1e-12 to 1e12. With k = 2.
    Result: 1.
    Formula: Cm = (high - low) / (2 U); 4 or more is the four-to-one rule.
    Source: JCGM 106:2012, 7.6.3 (value from memory).
    Example: limits 96 and 104, U = 1 -> 4 (arithmetic).

        >>> capability(96.0, 104.0, 1.0)
        4.0
    """
    return _tolerance(low, high) / (2 * expanded_uncertainty)


@rule("decision.uncertainty_for_capability")
def uncertainty_for_capability(
    low: Value,
    high: Value,
    capability_index: Annotated[float, In("1", 0.1, 1000.0)] = 4.0,
) -> Ratio:
    """Largest expanded uncertainty that still gives a wanted capability.

    Inputs:
        low: 1, -1e12 to 1e12. Lower limit.
        high: 1, -1e12 to 1e12. Upper limit.
        capability_index: 1, 0.1 to 1000. Wanted Cm; 4 is the four-to-one rule.
    Result: 1.
    Formula: U = (high - low) / (2 Cm).
    Source: JCGM 106:2012, 7.6.3 (value from memory).
    Example: limits 96 and 104, Cm = 4 -> 1 (arithmetic).

        >>> uncertainty_for_capability(96.0, 104.0, 4.0)
        1.0
    """
    return _tolerance(low, high) / (2 * capability_index)


@rule("decision.uncertainty_for_risk")
def uncertainty_for_risk(room: Length, risk: Risk = 0.05, both_sides: bool = False) -> Ratio:
    """Largest expanded uncertainty with which the expected reading can be accepted.

    Inputs:
        room: 1, 0 to 1e12. From the expected reading to the limit.
        risk: 1, 1e-9 to 0.499. Largest risk of a wrong acceptance.
        both_sides: yes or no. Whether there is a limit as near on the other side.
    Result: 1.
    Formula: U = 2 room / z, z at 1 - risk, or at 1 - risk/2 with a limit on both sides.
    Source: JCGM 106:2012, table 1 (z = 1.6449 for 95 %, 2.3263 for 99 %).
    Example: 2.3263 away from one limit, risk 1 % -> U = 2, that is u = 1.

        >>> round(uncertainty_for_risk(2.3263, 0.01), 3)
        2.0
    """
    return 2 * room / quantile(1 - (risk / 2 if both_sides else risk))


@rule("decision.accuracy_needed")
def accuracy_needed(
    reading: Positive,
    expanded_uncertainty: Positive,
    resolution: Length = 0.0,
) -> Annotated[float, Unit("%")]:
    """Coarsest accuracy class, in percent of reading, that gives a wanted uncertainty.

    Inputs:
        reading: 1, 1e-12 to 1e12. The reading expected.
        expanded_uncertainty: 1, 1e-12 to 1e12. The largest allowed (k = 2).
        resolution: 1, 0 to 1e12. One digit of the last place, or one division.
    Result: %.
    Formula: a = sqrt(3 (U^2/4 - d^2/12)), class = 100 a / reading.
    Source: JCGM 100:2008, 4.3.7 and F.2.2.1, solved for the accuracy.
    Example: reading 100, U = 2 x 0.288675 -> ±0.5 % (a = 0.5 gives u = 0.288675).

        >>> round(accuracy_needed(100.0, 2 * 0.288675), 4)
        0.5
    """
    room = expanded_uncertainty**2 / 4 - resolution**2 / 12
    if room <= 0:
        finest = Amount(expanded_uncertainty * math.sqrt(3), "1")
        raise RuleRefusal("resolution", "resolution-too-coarse", finer_than=finest)
    return 100 * math.sqrt(3 * room) / reading


def _interval(low: float | None, high: float | None) -> Interval:
    if low is None and high is None:
        raise RuleRefusal("high", "no-limit")
    if low is not None and high is not None:
        _tolerance(low, high)
    return Interval(
        None if low is None else Fraction(low), None if high is None else Fraction(high)
    )


def _tolerance(low: float, high: float) -> float:
    if low > high:
        raise RuleRefusal("low", "limits-swapped")
    return high - low
