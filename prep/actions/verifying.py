"""Verifying: everything recomputed from the log, and whatever differs named in plain words."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain
from typing import Final

from prep.actions.findings import Check, Finding, Tell
from prep.actions.verifying_index import units
from prep.actions.verifying_log import events, nodes, order
from prep.actions.verifying_seal import checkpoints, kept
from prep.actions.verifying_shop import shop

LISTED: Final = 1000  # findings kept; the rest are counted

# What is checked, in this order. The documents add their files.
CHECKS: Final[list[Check]] = [events, order, nodes, checkpoints, shop, units]


def _silent(part: str, done: int, total: int) -> None:
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


def verify(tell: Tell = _silent, *, older: str | None = None) -> Report:
    """Recompute everything. Takes the time it takes, and no more memory in a larger log.

    `older` is the note of a checkpoint that somebody kept elsewhere: with it, a log that was
    rewritten as a whole is found as well.
    """
    report = Report()

    def noted(part: str, done: int, total: int) -> None:
        report.checked[part] = done
        tell(part, done, total)

    for finding in chain(() if older is None else kept(older), findings(noted)):
        if len(report.findings) < LISTED:
            report.findings.append(finding)
        else:
            report.not_listed += 1
    return report


def findings(tell: Tell = _silent) -> Iterator[Finding]:
    """Everything that is not as it was recorded, as it is found."""
    for check in CHECKS:
        try:
            yield from check(tell)
        except Exception as wrong:  # one table in ruins must not hide what the others show
            text = f"The check of {check.__name__} could not be finished ({wrong!r})."
            yield Finding("check", check.__name__, text)
