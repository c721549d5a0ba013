"""Facts of an audit: its scope, the totals of its findings, and its units."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from prep.record.log.bundle_statement import Streams
from prep.record.unit.views.audit_findings import Finding, Kind
from prep.words.reader import Reader
from reports.audit.selection import Chosen, Selection
from reports.bundles.contents import Cut
from reports.bundles.csv_format import Row

EXAMPLES: Final = 25  # findings of a kind that the index page shows in full


@dataclass(frozen=True)
class Audit:
    """One audit: the units it covers, and the cut of the log it is made from.

    `stands_in` says for which lost one it stands in, in words; empty for one that was asked for.
    """

    number: str
    selection: Selection
    cut: Cut
    units: Sequence[Chosen]
    files: bool
    asked_by: str
    reader: Reader
    stands_in: str = ""


class Example(NamedTuple):
    """A finding that the index page shows in full, and where on the sheet it is, for a person."""

    unit: Chosen
    finding: Finding
    place: str


@dataclass
class FindingTotals:
    """Totals of an audit: entries, their streams, findings of each kind and the first in full."""

    events: int = 0
    streams: Streams = field(default_factory=dict)
    counts: Counter[Kind] = field(default_factory=Counter)
    examples: dict[Kind, list[Example]] = field(default_factory=dict)

    def add(self, found: Example) -> None:
        """Count a finding, and keep it as an example while there are few."""
        self.counts[found.finding.kind] += 1
        listed = self.examples.setdefault(found.finding.kind, [])
        if len(listed) < EXAMPLES:
            listed.append(found)


@dataclass(frozen=True)
class Listed:
    """A unit as the index page lists it: its row, how many findings, and paths of its files."""

    unit: Chosen
    row: Row
    findings: int
    certificates: tuple[str, ...]
    photos: str
