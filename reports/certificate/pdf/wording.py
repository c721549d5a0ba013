"""Signatures, values, limits and uncertainties of a certificate in words."""

from fractions import Fraction

from prep.rules.quantities.quantity import UNITS, show, with_unit
from prep.words.dates import moment
from prep.words.reader import ENGLISH
from reports.certificate.facts import Answer, InstrumentUsed, LimitFacts, Signed


def who_and_when(signed: Signed) -> str:
    """`prepared by Ada, 25 November 2026, 14:05 (CST, UTC−06:00)`."""
    return f"{signed.meaning} by {signed.name}, {moment(signed.at, ENGLISH)}"


def canonical_text(answer: Answer) -> str:
    """The value in the unit it was judged in; empty where that says nothing new."""
    if not answer.canonical or answer.unit not in UNITS:
        return ""
    text = show(Fraction(answer.canonical), UNITS[answer.unit])
    return "" if text in {answer.value, answer.typed} else text


def understood(answer: Answer) -> str:
    """The value a typed text was read as; empty where it is the same text."""
    return "" if answer.value in {"", answer.typed} else answer.value


def decision_text(limit: LimitFacts) -> str:
    """The rule by which uncertainty was weighed, where it was."""
    return f"guard band {limit.guard} U" if limit.decision == "guarded" else ""


def uncertainty_text(used: InstrumentUsed, unit: str) -> str:
    """Expanded uncertainty in the unit a reading was judged in: `U ±7.1 N·m`; empty without one."""
    if not used.uncertainty or unit not in UNITS:
        return ""
    return f"U {with_unit(f'±{used.uncertainty}', UNITS[unit])}"
