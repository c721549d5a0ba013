"""Signatures, values, limits and uncertainties of a certificate in words."""

from fractions import Fraction

from prep.rules.quantities.quantity import UNITS, Measured, show, with_unit
from prep.words.dates import moment
from reports.certificate.facts import Answer, InstrumentUsed, LimitFacts, Signed


def who_and_when(signed: Signed) -> str:
    """`prepared by Ada, 25 November 2026, 14:05 (CST, UTC−06:00)`."""
    return f"{signed.meaning} by {signed.name}, {moment(signed.at)}"


def canonical_text(answer: Answer) -> str:
    """The value in the unit it was judged in; empty where that says nothing new."""
    if not answer.canonical or answer.unit not in UNITS:
        return ""
    text = show(Fraction(answer.canonical), UNITS[answer.unit])
    return "" if text in {answer.value, answer.typed} else text


def understood(answer: Answer) -> str:
    """The value a typed text was read as; empty where it is the same text."""
    return "" if answer.value in {"", answer.typed} else answer.value


def limit_range(limit: LimitFacts, typed: str) -> str:
    """The limit in the unit judged in, or, where it is stated in that, in the unit typed."""
    ranges = (_range(limit, unit) for unit in (limit.unit, typed) if unit in UNITS and limit.unit)
    return next((text for text in ranges if limit.stated not in {text, f"exactly {text}"}), "")


def _range(limit: LimitFacts, unit: str) -> str:
    """The limit's ends in a unit of its quantity."""
    judged, shown = UNITS[limit.unit], UNITS[unit]
    ends = [
        show(Measured(Fraction(end), judged).in_unit(shown), shown) if end else ""
        for end in (limit.low, limit.high)
    ]
    low, high = ends
    text = f"{low} to {high}" if low and high and low != high else low or high
    if not all(ends):
        text = f"at least {low}" if low else f"at most {high}"
    return text


def decision_text(limit: LimitFacts) -> str:
    """The rule by which uncertainty was weighed, where it was."""
    return f"guard band {limit.guard} U" if limit.decision == "guarded" else ""


def uncertainty_text(used: InstrumentUsed, unit: str) -> str:
    """Expanded uncertainty in the unit a reading was judged in: `U ±7.1 N·m`; empty without one."""
    if not used.uncertainty or unit not in UNITS:
        return ""
    return f"U {with_unit(f'±{used.uncertainty}', UNITS[unit])}"
