"""Collecting an audit bundle: tables over all units, their entries with proofs, their files.

One unit after the other goes through memory; what grows with their number is names and counts.
"""

import logging
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass
from tempfile import TemporaryFile
from typing import Final
from uuid import UUID

from prep.queries.records import fold_history
from prep.record.unit.state import Record
from prep.record.unit.views import audit_findings
from prep.record.unit.views.audit_findings import NOWHERE, Finding, Kind
from prep.words.documents.bundle_faults import entry_fault_text, file_fault_text, unreadable_text
from prep.words.reader import Reader
from reports.audit.facts import Audit, Example, FindingTotals, Listed
from reports.audit.index_page import index_page, listed_row
from reports.audit.selection import Chosen
from reports.bundles import columns, contents, contents_events, csv_tables
from reports.bundles.contents import Fault, FileFault, Payload
from reports.bundles.csv_format import Row, Table
from reports.holdings import held_by, is_over
from reports.models import DocumentRequest

log = logging.getLogger(__name__)

TABLES: Final = {
    "units": columns.UNITS,
    "findings": columns.FINDINGS,
    "readings": columns.READINGS,
    "sign_offs": columns.SIGN_OFFS,
    "flags": columns.FLAGS,
}


def collect(payload: Payload, audit: Audit, tell: Callable[[float], None]) -> FindingTotals:
    """Write the payload of an audit; `tell` is called with the share that is done, 0 to 1."""
    written = contents_events.put_events(
        payload,
        audit.cut,
        {unit.id for unit in audit.units},
        tell=lambda share: tell(share / 2),
    )
    totals = FindingTotals(written.events, written.streams)
    contents.put_checkpoint(payload, audit.cut.checkpoint)
    with ExitStack() as files:
        tables = {
            name: files.enter_context(payload.table(f"{name}.csv", header))
            for name, header in TABLES.items()
        }
        faults: dict[str, list[str]] = {}
        for unit, position, version, fault in written.faults:
            text = entry_fault_text(fault, position, version, audit.reader)
            faults.setdefault(unit, []).append(text)
        writer = _Writer(payload, audit, totals, tables, faults)
        listing = files.enter_context(TemporaryFile("w+", encoding="utf-8"))
        for number, chosen in enumerate(audit.units):
            listing.write(listed_row(writer.unit(chosen), audit.reader) + "\n")
            tell(0.5 + 0.5 * number / len(audit.units))
        listing.seek(0)
        with payload.writing("index.html") as page:
            for line in index_page(audit, totals, listing):
                page.write(line)
    return totals


@dataclass
class _Writer:
    """Writer of one unit after the other into the tables."""

    payload: Payload
    audit: Audit
    totals: FindingTotals
    tables: dict[str, Table]
    faults: dict[str, list[str]]

    def unit(self, unit: Chosen) -> Listed:
        """Write a unit's rows, refer to its files, and count its findings."""
        reader = self.audit.reader
        findings = [_about_log(text) for text in self.faults.get(unit.id, ())]
        try:
            history = self.audit.cut.history(UUID(unit.id))
            events = [(one.stamp, one.event) for one in history]
            record = fold_history(history)
            rows = _rows(unit, record, reader)
            findings += audit_findings.findings(
                events, record, self.audit.selection.known_at.date()
            )
        except Exception:  # whatever a forger can make of an entry: the audit says so
            log.exception("the entries of unit %s cannot be replayed", unit.id)
            findings.append(_about_log(unreadable_text(reader)))
            record, rows = Record({}), _ruined(unit)
        certificates, photos = self._files(unit, record, findings) if self.audit.files else ([], "")
        within = [finding for finding in findings if self._in_period(finding)]
        rows["findings"] = [csv_tables.finding_row(unit.id, record, one, reader) for one in within]
        for name, lines in rows.items():
            self.tables[name].add(lines)
        for finding in within:
            place = csv_tables.place_of(record, finding.box)
            self.totals.add(Example(unit, finding, place))
        return Listed(unit, rows["units"][0], len(within), tuple(certificates), photos)

    def _in_period(self, finding: Finding) -> bool:
        since, until = self.audit.selection.since, self.audit.selection.until
        if finding.stamp is None or finding.kind in audit_findings.STANDING:
            return True
        at = finding.stamp.recorded
        return not ((since and at < since) or (until and at > until))

    def _files(
        self, unit: Chosen, record: Record, findings: list[Finding]
    ) -> tuple[list[str], str]:
        """Refer to a unit's certificates and photographs; append a finding for each damaged one."""
        name = f"{contents.file_name(unit.serial)}-{unit.id[:8]}"
        photos = f"photos/{name}"
        faults = [
            FileFault(f"{photos}/{photo}", fault)
            for photo, fault in contents.put_photos(self.payload, record, photos)
        ]
        certificates = []
        lost = {one.replaces for one, _ in record.documents if one.instead}
        for issued, _ in record.documents:
            if issued.document_kind == "certificate" and issued.document not in lost:
                path = f"certificates/{name}/{contents.file_name(issued.number)}.pdf"
                request = DocumentRequest.objects.filter(pk=issued.document).first()
                if request is not None and is_over(request):
                    self.payload.erased.append((path, issued.digest))
                    continue
                faults += _put_certificate(self.payload, path, request, issued.digest)
                certificates.append(path)
        for file, fault in faults:
            text = file_fault_text(fault, file, self.audit.reader)
            findings.append(Finding(Kind.FILE, NOWHERE, None, {"text": text}))
        return certificates, f"{photos}/" if record.photos else ""


def _put_certificate(
    payload: Payload, path: str, request: DocumentRequest | None, digest: str
) -> list[FileFault]:
    file = str(request.file) if request else ""
    fault = contents.stored_fault(file, digest)
    if request is not None and fault is not Fault.GONE:
        payload.refer(path, file)
        payload.holds |= held_by(request)
    return [FileFault(path, fault)] if fault else []


def _rows(unit: Chosen, record: Record, reader: Reader) -> dict[str, list[Row]]:
    rows: dict[str, Iterable[Row]] = {
        "units": [csv_tables.unit_row(unit.id, record)],
        "readings": csv_tables.reading_rows(unit.id, record, reader),
        "sign_offs": csv_tables.sign_off_rows(unit.id, record, reader),
        "flags": csv_tables.flag_rows(unit.id, record, reader),
    }
    return {name: list(lines) for name, lines in rows.items()}


def _ruined(unit: Chosen) -> dict[str, list[Row]]:
    known = (unit.id, unit.maker, unit.serial)
    return {"units": [(*known, *[""] * (len(columns.UNITS) - len(known)))]}


def _about_log(text: str) -> Finding:
    return Finding(Kind.LOG, NOWHERE, None, {"text": text})
