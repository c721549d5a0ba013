"""Verification of the whole service: everything recomputed from the log, differences named."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from prep.verify.accounts import accounts, sign_ins
from prep.verify.checkpoints import checkpoints
from prep.verify.counts import counts
from prep.verify.findings import Check, Finding, Result, Statement, Stopped, Tell
from prep.verify.guards import guards
from prep.verify.index import units
from prep.verify.kept_checkpoints import kept
from prep.verify.log import events, nodes, order
from prep.verify.logos import logos
from prep.verify.reference_data import reference_data
from prep.verify.unproven import unproven
from prep.verify.wordings import wordings

LISTED: Final = 1000  # findings kept; the rest are counted

# Checks in the order they run. Reports add theirs: documents and stored files.
CHECKS: Final[list[Check]] = [
    guards,
    events,
    order,
    nodes,
    checkpoints,
    reference_data,
    accounts,
    sign_ins,
    logos,
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
    """Result of a verification: findings, and how many of each thing were checked.

    `proved` says what holds whoever had the database in hand, `unproven` what nobody can tell from
    what was at hand.
    """

    findings: list[Finding] = field(default_factory=list)
    not_listed: int = 0
    checked: dict[str, int] = field(default_factory=dict)
    proved: list[Statement] = field(default_factory=list)
    unproven: list[Statement] = field(default_factory=list)

    @property
    def holds(self) -> bool:
        """Whether everything is as it was recorded."""
        return not self.findings

    def take(self, results: Iterable[Result]) -> int:
        """Add findings and statements, and return how many do not say that something holds; past
        LISTED they are only counted."""
        found = 0
        for result in results:
            kept = self._list_of(result)
            found += kept is not self.proved
            if len(kept) < LISTED:
                kept.append(result)
            elif isinstance(result, Finding):
                self.not_listed += 1
        return found

    def _list_of(self, result: Result) -> list[Any]:
        if isinstance(result, Finding):
            return self.findings
        return self.proved if result.proved else self.unproven


def verify(
    tell: Tell = _silent,
    *,
    older: Sequence[str] = (),
    progress: Callable[[int, int], None] = _unmoved,
) -> Report:
    """Recompute everything from the log. Memory does not grow with the log; time does.

    `older` are the notes of checkpoints that somebody kept outside this service: with them, a log
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

    report.take(kept(older))
    for begun, check in enumerate(CHECKS):  # noqa: B007  # `report_progress` reads it
        if not report.take(_results_of(check, report_progress)):
            report.proved.append(Statement(check.__name__))
    report.take(unproven())
    progress(100 * len(CHECKS), 100 * len(CHECKS))
    return report


def findings(tell: Tell = _silent, checks: Iterable[Check] | None = None) -> Iterator[Finding]:
    """Findings of the checks, all of them by default, in order, as each is made."""
    for check in CHECKS if checks is None else checks:
        for result in _results_of(check, tell):
            if isinstance(result, Finding):
                yield result


def _results_of(check: Check, tell: Tell) -> Iterator[Result]:
    """What one check finds and states; where it fails, the failure is a finding."""
    try:
        yield from check(tell)
    except Stopped:
        raise
    except Exception as wrong:  # one damaged table must not hide findings in the others
        values = {"check": check.__name__, "detail": repr(wrong)}
        yield Finding("check", check.__name__, "check-unfinished", values)
