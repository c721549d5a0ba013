"""Verification of the whole service: everything recomputed from the log, differences named."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from prep.verify.checkpoints import checkpoints, kept
from prep.verify.counts import counts
from prep.verify.findings import Check, Finding, Stopped, Tell
from prep.verify.index import units
from prep.verify.log import events, nodes, order
from prep.verify.reference_data import reference_data
from prep.verify.wordings import wordings

LISTED: Final = 1000  # findings kept; the rest are counted

# Checks in the order they run. Reports add theirs: documents and stored files.
CHECKS: Final[list[Check]] = [
    events,
    order,
    nodes,
    checkpoints,
    reference_data,
    wordings,
    units,
    counts,
]


def _silent(part: str, done: int, total: int) -> None:
    """Report nothing."""


def _unmoved(done: int, total: int) -> None:
    """Report nothing."""


@dataclass
class Report:
    """Result of a verification: findings, and how many of each thing were checked."""

    findings: list[Finding] = field(default_factory=list)
    not_listed: int = 0
    checked: dict[str, int] = field(default_factory=dict)

    @property
    def holds(self) -> bool:
        """Whether everything is as it was recorded."""
        return not self.findings

    def take(self, findings: Iterable[Finding]) -> None:
        """Add findings; those past LISTED are only counted."""
        for finding in findings:
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
    """Recompute everything from the log. Memory does not grow with the log; time does.

    `older` is the note of a checkpoint that somebody kept outside this service: with it, a log
    that was rewritten as a whole is detected too. `tell` is called with the progress of each part,
    `progress` with that of the whole, in hundredths of a check.
    """
    report, begun, furthest = Report(), 0, 0

    def report_progress(part: str, done: int, total: int) -> None:
        nonlocal furthest
        report.checked[part] = done
        tell(part, done, total)
        furthest = max(furthest, 100 * begun + 100 * done // max(total, 1))
        progress(furthest, 100 * len(CHECKS))

    if older is not None:
        report.take(kept(older))
    for begun, check in enumerate(CHECKS):  # noqa: B007  # `report_progress` reads it
        report.take(_results_of(check, report_progress))
    progress(100 * len(CHECKS), 100 * len(CHECKS))
    return report


def findings(tell: Tell = _silent, checks: Iterable[Check] | None = None) -> Iterator[Finding]:
    """Findings of the checks, all of them by default, in order, as each is made."""
    for check in CHECKS if checks is None else checks:
        yield from _results_of(check, tell)


def _results_of(check: Check, tell: Tell) -> Iterator[Finding]:
    """Findings of one check; where it fails, the failure is a finding."""
    try:
        yield from check(tell)
    except Stopped:
        raise
    except Exception as wrong:  # one damaged table must not hide findings in the others
        values = {"check": check.__name__, "detail": repr(wrong)}
        yield Finding("check", check.__name__, "check-unfinished", values)
