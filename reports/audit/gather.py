"""Collecting an audit bundle: tables over all units, their entries with proofs, their files.

One unit after the other goes through memory; what grows with their number is names and counts.
"""

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
from reports.audit.facts import Audit, FindingTotals, Listed
from reports.audit.index_page import index_page, listed_row
from reports.audit.selection import Chosen
from reports.bundles import contents, contents_events, csv_tables
from reports.bundles.contents import Payload
from reports.bundles.csv_tables import Row, Table
from reports.models import DocumentRequest

TABLES: Final = {
    "units": csv_tables.UNITS,
    "findings": csv_tables.FINDINGS,
    "readings": csv_tables.READINGS,
    "sign_offs": csv_tables.SIGN_OFFS,
    "flags": csv_tables.FLAGS,
}


def collect(payload: Payload, audit: Audit, tell: Callable[[float], None]) -> FindingTotals:
    """Write the payload of an audit; `tell` is called with the share that is done, 0 to 1."""
    written = contents_events.put_events(
        payload,
        audit.cut,
        {unit.id for unit in audit.units},
        tell=lambda share: tell(share / 2),
    )
    totals = FindingTotals(written.events)
    contents.put_checkpoint(payload, audit.cut.checkpoint)
    with ExitStack() as files:
        tables = {
            name: files.enter_context(payload.table(f"{name}.csv", header))
            for name, header in TABLES.items()
        }
        faults: dict[str, list[str]] = {}
        for fault in written.faults:
            faults.setdefault(fault.unit, []).append(fault.text)
        writer = _Writer(payload, audit, totals, tables, faults)
        listing = files.enter_context(TemporaryFile("w+", encoding="utf-8"))
        for number, unit in enumerate(audit.units):
            listing.write(listed_row(writer.unit(unit)) + "\n")
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
        findings = [_about_log(text) for text in self.faults.get(unit.id, ())]
        try:
            history = self.audit.cut.history(UUID(unit.id))
            events = [(one.stamp, one.event) for one in history]
            record = fold_history(history)
            rows = _rows(unit, record)
            findings += audit_findings.findings(events, record, self.audit.selection.as_of.date())
        except Exception as wrong:  # whatever a forger can make of an entry: the audit says so
            findings.append(_about_log(f"Its entries cannot be replayed any more ({wrong!r})."))
            record, rows = Record({}), _ruined(unit)
        certificates, photos = self._files(unit, record, findings) if self.audit.files else ([], "")
        within = [finding for finding in findings if self._in_period(finding)]
        rows["findings"] = [csv_tables.finding_row(unit.id, record, one) for one in within]
        for name, lines in rows.items():
            self.tables[name].add(lines)
        for finding in within:
            self.totals.add(unit, finding)
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
        faults = contents.put_photos(self.payload, record, f"photos/{name}")
        certificates = []
        for issued, _ in record.documents:
            if issued.document_kind == "certificate":
                path = f"certificates/{name}/{contents.file_name(issued.number)}.pdf"
                faults += _put_certificate(self.payload, path, issued.document, issued.digest)
                certificates.append(path)
        findings += [Finding(Kind.FILE, NOWHERE, None, {"text": fault.text}) for fault in faults]
        return certificates, f"photos/{name}/" if record.photos else ""


def _put_certificate(
    payload: Payload, path: str, document: str, digest: str
) -> list[contents.FileFault]:
    request = DocumentRequest.objects.filter(pk=document).first()
    file = str(request.file) if request else ""
    fault = contents.stored_fault(file, digest)
    if fault != contents.GONE:
        payload.refer(path, file)
    return [contents.FileFault(path, f"The certificate {path} {fault}.")] if fault else []


def _rows(unit: Chosen, record: Record) -> dict[str, list[Row]]:
    rows: dict[str, Iterable[Row]] = {
        "units": [csv_tables.unit_row(unit.id, record)],
        "readings": csv_tables.reading_rows(unit.id, record),
        "sign_offs": csv_tables.sign_off_rows(unit.id, record),
        "flags": csv_tables.flag_rows(unit.id, record),
    }
    return {name: list(lines) for name, lines in rows.items()}


def _ruined(unit: Chosen) -> dict[str, list[Row]]:
    known = (unit.id, unit.maker, unit.serial)
    return {"units": [(*known, *[""] * (len(csv_tables.UNITS) - len(known)))]}


def _about_log(text: str) -> Finding:
    return Finding(Kind.LOG, NOWHERE, None, {"text": text})
