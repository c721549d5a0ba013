"""Index page of an audit bundle: its scope, a summary of findings, and each unit.

It is plain HTML without scripts, opens from the unpacked folder, and is written line by line.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Final
from urllib.parse import quote

from django.utils.html import escape

from prep.record.log.envelope import moment
from prep.record.unit.views.audit_findings import Finding, Kind
from prep.words.reader import ENGLISH
from prep.words.unit.audit_findings import finding_text, kind_explanation, kind_title
from reports.audit.facts import Audit, FindingTotals, Listed
from reports.audit.selection import Chosen
from reports.bundles.csv_tables import UNITS

STYLE: Final = """
body{font:16px/1.5 system-ui,sans-serif;max-width:75rem;margin:0 auto;padding:1rem;color:#111;
background:#fff}
table{border-collapse:collapse;width:100%;font-size:.9rem}
th,td{text-align:left;vertical-align:top;padding:.35rem .6rem .35rem 0;border-bottom:1px solid #bbb}
td.number,th.number{text-align:right}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.2rem 1.5rem}
dt{font-weight:600}dd{margin:0;overflow-wrap:anywhere}
summary{cursor:pointer;padding:.5rem 0;font-weight:600}
.wide{overflow-x:auto}pre{white-space:pre-wrap;overflow-wrap:anywhere}
@media print{details:not([open])>*{display:block}}
"""
# Columns of a unit's row that the page shows, by their names in units.csv.
SHOWN: Final = ("serial", "maker", "model name", "state", "received", "released", "handed over")
PLACES: Final = tuple(UNITS.index(name) for name in SHOWN)
CAUTION: Final = (
    "The maker's manual for the exact serial number, local codes, and licensed or trained "
    "practice come first. Nothing in here replaces them."
)


def index_page(audit: Audit, totals: FindingTotals, listing: Iterable[str]) -> Iterator[str]:
    """The page, line by line; `listing` gives the rows of `listed_row`."""
    title = f"Audit {escape(audit.number)}"
    yield f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>\n'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
    yield f"<style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n"
    yield from _scope(audit, totals)
    yield from _summary(totals)
    yield from _units(listing)
    yield from _checking(audit)
    yield f"<p>{CAUTION}</p>\n</body></html>\n"


def listed_row(listed: Listed) -> str:
    """A unit as one line of the page's table."""
    cells = [escape(_short(listed.row[place])) for place in PLACES]
    files = [
        f'<a href="{quote(path)}">certificate {number}</a>'
        for number, path in enumerate(listed.certificates, 1)
    ]
    files += [f'<a href="{quote(listed.photos)}">photographs</a>'] if listed.photos else []
    return (
        f'<tr id="{escape(listed.unit.id)}"><th scope="row">{cells[0]}</th>'
        + "".join(f"<td>{cell}</td>" for cell in cells[1:])
        + f'<td class="number">{listed.findings}</td><td>{"<br>".join(files)}</td></tr>'
    )


def _short(text: str) -> str:
    """A moment to the minute; any other text as it is."""
    try:
        return f"{datetime.fromisoformat(text):%Y-%m-%d %H:%M} UTC" if "T" in text else text
    except ValueError:
        return text


def _scope(audit: Audit, totals: FindingTotals) -> Iterator[str]:
    selection = audit.selection
    period = " ".join(
        f"{word} {_short(moment(at))}"
        for word, at in (("from", selection.since), ("to", selection.until))
        if at
    )
    terms = {
        "Yards": ", ".join(selection.sites),
        "Units": f"{len(audit.units)}, with {totals.events} entries of the log",
        "Recorded": period or "at any time",
        "As of": _short(moment(selection.as_of)),
        "Asked for by": audit.asked_by,
        "Photographs and certificates": "in the bundle" if audit.files else "left out",
    }
    yield "<dl>\n"
    for term, text in terms.items():
        yield f"<dt>{term}</dt><dd>{escape(text)}</dd>\n"
    yield "</dl>\n"


def _summary(totals: FindingTotals) -> Iterator[str]:
    yield "<h2>To ask about</h2>\n"
    if not totals.counts:
        yield "<p>Nothing: every entry stands as it was first made.</p>\n"
        return
    yield '<p>A finding is no fault. All of them: <a href="findings.csv">findings.csv</a>.</p>\n'
    for kind in Kind:
        if count := totals.counts[kind]:
            title, meaning = kind_title(kind, ENGLISH), kind_explanation(kind, ENGLISH)
            yield f"<details><summary>{title}: {count}</summary><p>{meaning}</p>\n"
            yield '<div class="wide"><table>\n'
            for unit, finding in totals.examples[kind]:
                yield _example(unit, finding)
            yield "</table></div>\n"
            if more := count - len(totals.examples[kind]):
                yield f"<p>And {more} more in findings.csv.</p>\n"
            yield "</details>\n"


def _example(unit: Chosen, finding: Finding) -> str:
    stamp = finding.stamp
    by = f"{stamp.name}, {_short(moment(stamp.happened))}" if stamp else ""
    where = ", ".join(filter(None, finding.box))
    text = finding_text(finding, ENGLISH)
    return (
        f'<tr><td><a href="#{escape(unit.id)}">{escape(unit.serial)}</a></td>'
        f"<td>{escape(where)}</td><td>{escape(text)}</td><td>{escape(by)}</td></tr>\n"
    )


def _units(listing: Iterable[str]) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{name}</th>' for name in SHOWN)
    yield '<h2>Units</h2>\n<p>As they stood: <a href="units.csv">units.csv</a>, '
    yield '<a href="readings.csv">readings.csv</a>, <a href="sign_offs.csv">sign_offs.csv</a>, '
    yield '<a href="flags.csv">flags.csv</a>.</p>\n'
    yield f'<div class="wide"><table><thead><tr>{heads}<th scope="col" class="number">findings</th>'
    yield '<th scope="col">files</th></tr></thead><tbody>\n'
    yield from listing
    yield "</tbody></table></div>\n"


def _checking(audit: Audit) -> Iterator[str]:
    yield "<h2>Check it</h2>\n<p>Open verify.html beside this folder and choose the ZIP, or read "
    yield "README.txt. The signed root over the log:</p>\n"
    yield f"<pre>{escape(audit.cut.checkpoint.note)}</pre>\n"
