"""Verifying: everything recomputed from the log, and whatever differs named in plain words."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from prep.verify.checkpoints import checkpoints, kept
from prep.verify.findings import Check, Finding, Stopped, Tell
from prep.verify.index import units
from prep.verify.log import events, nodes, order
from prep.verify.reference_data import shop

LISTED: Final = 1000  # findings kept; the rest are counted

# What is checked, in this order. The documents add their files.
CHECKS: Final[list[Check]] = [events, order, nodes, checkpoints, shop, units]


def _silent(part: str, done: int, total: int) -> None:
    """Tell nobody."""


def _unmoved(done: int, total: int) -> None:
    """Tell nobody."""


@dataclass
class Report:
    """What a verification found, and how much it looked at."""

    findings: list[Finding] = field(default_factory=list)
    not_listed: int = 0
    checked: dict[str, int] = field(default_factory=dict)

    @property
    def holds(self) -> bool:
        """Whether everything is as it was recorded."""
        return not self.findings

    @property
    def verdict(self) -> str:
        """The same as a sentence."""
        if self.holds:
            return "Everything is as it was recorded."
        return "Not everything is as it was recorded."

    def take(self, found: Iterable[Finding]) -> None:
        """Add what a check finds; past a thousand it is counted only."""
        for finding in found:
            if len(self.findings) < LISTED:
                self.findings.append(finding)
            else:
                self.not_listed += 1


def verify(
    tell: Tell = _silent,
    *,
    older: str | None = None,
    progress: Callable[[int, int], None] = _unmoved,
) -> Report:
    """Recompute everything. Takes the time it takes, and no more memory in a larger log.

    `older` is the note of a checkpoint that somebody kept elsewhere: with it, a log that was
    rewritten as a whole is found as well. `tell` hears of each part, `progress` of the whole, in
    hundredths of a check.
    """
    report, begun, furthest = Report(), 0, 0

    def noted(part: str, done: int, total: int) -> None:
        nonlocal furthest
        report.checked[part] = done
        tell(part, done, total)
        furthest = max(furthest, 100 * begun + 100 * done // max(total, 1))
        progress(furthest, 100 * len(CHECKS))

    if older is not None:
        report.take(kept(older))
    for begun, check in enumerate(CHECKS):  # noqa: B007  # `noted` reads it
        report.take(_found_by(check, noted))
    progress(100 * len(CHECKS), 100 * len(CHECKS))
    return report


def findings(tell: Tell = _silent, checks: Iterable[Check] | None = None) -> Iterator[Finding]:
    """Everything that is not as it was recorded, as it is found; by all checks, in their order."""
    for check in CHECKS if checks is None else checks:
        yield from _found_by(check, tell)


def _found_by(check: Check, tell: Tell) -> Iterator[Finding]:
    try:
        yield from check(tell)
    except Stopped:
        raise
    except Exception as wrong:  # one table in ruins must not hide what the others show
        text = f"The check of {check.__name__} could not be finished ({wrong!r})."
        yield Finding("check", check.__name__, text)
