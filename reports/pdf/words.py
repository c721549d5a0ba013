"""Facts in words: moments, verdicts, limits, numbers of things."""

from datetime import datetime
from fractions import Fraction
from typing import Final

from prep.rules.conformity import Verdict
from prep.rules.quantity import UNITS, Measured, show, with_unit
from reports.facts import Answer, InstrumentUsed, LimitFacts, Signed

MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
# A shape of its own for each verdict, so that a black-and-white copy says the same.
MARKS: Final[dict[str, str]] = {
    Verdict.CONFORMING: "✓",
    Verdict.CONFORMING_GUARD: "◐",
    Verdict.NONCONFORMING_GUARD: "△",
    Verdict.NONCONFORMING: "✗",
    Verdict.NOT_MEASURED: "□",
    "answered yes": "✓",
    "answered no": "✗",
    "no limit given": "·",
}
LEGEND: Final = (
    (Verdict.CONFORMING, "the reading lies within its limit"),
    (Verdict.CONFORMING_GUARD, "within the limit, too near it for this instrument to be sure"),
    (Verdict.NONCONFORMING_GUARD, "beyond the limit, but by less than the instrument can tell"),
    (Verdict.NONCONFORMING, "beyond the limit"),
    ("no limit given", "recorded, held against nothing"),
    ("answered yes", "a check that was done"),
)


def moment(at: datetime) -> str:
    """`25 November 2026, 14:05 (CST, UTC−06:00)`: the yard's clock and its distance from UTC."""
    return f"{day(at)}, {at:%H:%M} ({zone(at)})"


def day(at: datetime) -> str:
    """`25 November 2026`."""
    return f"{at.day} {MONTHS[at.month - 1]} {at.year}"


def short_moment(at: datetime) -> str:
    """`25 Nov 2026, 14:05`, where the zone is stated once for all."""
    return f"{at.day} {MONTHS[at.month - 1][:3]} {at.year}, {at:%H:%M}"


def zone(at: datetime) -> str:
    """The zone's letters, where it has any, and its distance from UTC."""
    offset = f"{at:%z}"
    distance = f"UTC{'−' if offset[0] == '-' else '+'}{offset[1:3]}:{offset[3:5]}"
    name = at.tzname() or ""
    return f"{name}, {distance}" if name.isalpha() and name != "UTC" else distance


def date_text(iso: str) -> str:
    """`10 Jan 2027` for an ISO date, and nothing for none."""
    if not iso:
        return ""
    return f"{(at := datetime.fromisoformat(iso)).day} {MONTHS[at.month - 1][:3]} {at.year}"


def who_and_when(signed: Signed) -> str:
    """`prepared by Ada, 25 November 2026, 14:05 (CST, UTC−06:00)`."""
    return f"{signed.meaning} by {signed.name}, {moment(signed.at)}"


def count(number: int, one: str, many: str = "") -> str:
    """`1 reading`, `no readings`, `12 readings`."""
    return f"{number or 'no'} {one if number == 1 else many or one + 's'}"


def canonical_text(answer: Answer) -> str:
    """The value in the unit it was judged in; empty where that says nothing new."""
    if not answer.canonical or answer.unit not in UNITS:
        return ""
    text = show(Fraction(answer.canonical), UNITS[answer.unit])
    return "" if text in {answer.value, answer.typed} else text


def understood(answer: Answer) -> str:
    """What was typed as it was understood, where that is not what was typed."""
    return "" if answer.value in {"", answer.typed} else answer.value


def limit_range(limit: LimitFacts, typed: str) -> str:
    """The limit in the unit the reading was judged in, or, where it is stated in that, as typed."""
    said = (_range(limit, unit) for unit in (limit.unit, typed) if unit in UNITS and limit.unit)
    return next((text for text in said if limit.stated not in {text, f"exactly {text}"}), "")


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
    """How sure an instrument is in the unit a reading was judged in: `U ±7.1 N·m`, or nothing."""
    if not used.uncertainty or unit not in UNITS:
        return ""
    return f"U {with_unit(f'±{used.uncertainty}', UNITS[unit])}"


def mark(verdict: str) -> str:
    """The shape that stands for a verdict."""
    return MARKS.get(verdict, "·")
