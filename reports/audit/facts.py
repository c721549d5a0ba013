"""Facts of an audit: its scope, the totals of its findings, and its units."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from prep.record.unit.views.audit_findings import Finding, Kind
from reports.audit.selection import Chosen, Selection
from reports.bundles.contents import Cut
from reports.bundles.csv_tables import Row

EXAMPLES: Final = 25  # findings of a kind that the index page shows in full


@dataclass(frozen=True)
class Audit:
    """One audit: the units it covers, and the cut of the log it is made from."""

    number: str
    selection: Selection
    cut: Cut
    units: Sequence[Chosen]
    files: bool
    asked_by: str


@dataclass
class FindingTotals:
    """Running totals of an audit: entries, findings of each kind, and the first of them in full."""

    events: int = 0
    counts: Counter[Kind] = field(default_factory=Counter)
    examples: dict[Kind, list[tuple[Chosen, Finding]]] = field(default_factory=dict)

    def add(self, unit: Chosen, finding: Finding) -> None:
        """Count a finding of a unit, and keep it as an example while there are few."""
        self.counts[finding.kind] += 1
        listed = self.examples.setdefault(finding.kind, [])
        if len(listed) < EXAMPLES:
            listed.append((unit, finding))


@dataclass(frozen=True)
class Listed:
    """A unit as the index page lists it: its row, how many findings, and paths of its files."""

    unit: Chosen
    row: Row
    findings: int
    certificates: tuple[str, ...]
    photos: str
