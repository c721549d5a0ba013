"""Verdicts: their marks, and what each means."""

from typing import Final

from prep.rules.conformity.judgment import Verdict

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


def mark(verdict: str) -> str:
    """The shape that stands for a verdict."""
    return MARKS.get(verdict, "·")
