"""Index page of an audit bundle: its scope, a summary of items to review, and each unit.

It is plain HTML without scripts, opens from the unpacked folder, and is written line by line. Our
texts are plain text; whatever else stands in the page is escaped.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from typing import Final
from urllib.parse import quote

from django.utils.html import escape
from django.utils.translation import gettext_noop as _

from prep.record.unit.views.audit_findings import Kind
from prep.words import dates
from prep.words.reader import Reader, say, say_count
from prep.words.unit.audit_findings import finding_text, kind_explanation, kind_title
from prep.words.unit.states import state_word
from reports.audit.facts import Audit, Example, FindingTotals, Listed
from reports.bundles.columns import UNITS
from reports.bundles.readme import MANUAL_FIRST

STYLE: Final = """
body{font:16px/1.5 system-ui,sans-serif;max-width:75rem;margin:0 auto;padding:1rem;color:#111;
background:#fff}
table{border-collapse:collapse;width:100%;font-size:.9rem}
th,td{text-align:left;vertical-align:top;padding:.35rem .6rem .35rem 0;border-bottom:1px solid #bbb}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.2rem 1.5rem}
dt{font-weight:600}dd{margin:0;overflow-wrap:anywhere}
summary{cursor:pointer;padding:.5rem 0;font-weight:600}
.wide{overflow-x:auto}pre{white-space:pre-wrap;overflow-wrap:anywhere}
@media print{details:not([open])>*{display:block}}
"""
# Columns of units.csv that the page shows, with their heads.
SHOWN: Final = {
    "serial": _("Serial number"),
    "maker": _("Manufacturer"),
    "model name": _("Model"),
    "state": _("State"),
    "received": _("Received"),
    "released": _("Released"),
    "handed over": _("Handed over"),
}
MOMENTS: Final = frozenset({"received", "released", "handed over"})
# The recorded period, by whether it has a first and a last moment.
PERIODS: Final = {
    (True, True): _("from {first} to {last}"),
    (True, False): _("from {first}"),
    (False, True): _("to {last}"),
    (False, False): _("at any time"),
}


def index_page(audit: Audit, totals: FindingTotals, listing: Iterable[str]) -> Iterator[str]:
    """The page, line by line; `listing` gives the rows of `listed_row`."""
    reader = audit.reader
    title = escape(say(reader, "Audit {number}", number=audit.number))
    yield f'<!doctype html>\n<html lang="{reader.language}"><head><meta charset="utf-8">'
    yield f"<title>{title}</title>\n"
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
    yield f"<style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n"
    if audit.stands_in:
        yield _element("p", f"<strong>{escape(audit.stands_in)}</strong>")
    yield from _scope(audit, totals)
    yield from _summary(totals, reader)
    yield from _units(listing, reader)
    yield from _checking(audit)
    yield _element("p", say(reader, MANUAL_FIRST))
    yield "</body></html>\n"


def listed_row(listed: Listed, reader: Reader) -> str:
    """A unit as one line of the page's table."""
    row = dict(zip(UNITS, listed.row, strict=True))
    cells = [escape(_shown(name, row[name], reader)) for name in SHOWN]
    files = [
        _link(path, say(reader, "certificate {number}", number=number))
        for number, path in enumerate(listed.certificates, 1)
    ]
    files += [_link(listed.photos, say(reader, "photos"))] if listed.photos else []
    return (
        f'<tr id="{escape(listed.unit.id)}"><th scope="row">{cells[0]}</th>'
        + "".join(f"<td>{cell}</td>" for cell in cells[1:])
        + f"<td>{listed.findings}</td><td>{'<br>'.join(files)}</td></tr>"
    )


def _shown(name: str, text: str, reader: Reader) -> str:
    """A cell of units.csv in words; one of a unit whose entries are unreadable is empty."""
    if not text:
        return ""
    if name in MOMENTS:
        return _moment(datetime.fromisoformat(text), reader)
    return state_word(text, reader) if name == "state" else text


def _moment(at: datetime, reader: Reader) -> str:
    """A moment in UTC, as the tables have it: the audited yards may lie in several time zones."""
    return dates.short_moment(at.astimezone(UTC), reader)


def _element(tag: str, content: str) -> str:
    """An element on a line of its own; its content is markup."""
    return f"<{tag}>{content}</{tag}>\n"


def _link(path: str, text: str) -> str:
    return f'<a href="{quote(path)}">{escape(text)}</a>'


def _scope(audit: Audit, totals: FindingTotals) -> Iterator[str]:
    selection, reader = audit.selection, audit.reader
    entries = say_count(reader, "{count} log entry", "{count} log entries", totals.events)
    files = say(reader, "in the bundle") if audit.files else say(reader, "left out")
    terms = {
        say(reader, "Yards"): ", ".join(selection.sites),
        say(reader, "Units"): f"{len(audit.units)} ({entries})",
        say(reader, "Activity recorded"): _period(audit),
        say(reader, "Records as they stood on"): _moment(selection.known_at, reader),
        say(reader, "Times"): say(reader, "in UTC"),
        say(reader, "Requested by"): audit.asked_by,
        say(reader, "Photos and certificates"): files,
    }
    yield "<dl>\n"
    for term, text in terms.items():
        yield f"<dt>{term}</dt><dd>{escape(text)}</dd>\n"
    yield "</dl>\n"


def _period(audit: Audit) -> str:
    first, last = audit.selection.since, audit.selection.until
    return say(
        audit.reader,
        PERIODS[first is not None, last is not None],
        first=_moment(first, audit.reader) if first else "",
        last=_moment(last, audit.reader) if last else "",
    )


def _summary(totals: FindingTotals, reader: Reader) -> Iterator[str]:
    yield _element("h2", say(reader, "Items to review"))
    if not totals.counts:
        yield _element("p", say(reader, "None: every entry stands as it was first made."))
        return
    table = _link("findings.csv", "findings.csv")
    yield _element(
        "p",
        say(
            reader,
            "An item listed here is not necessarily a problem. The full list is in {table}.",
            table=table,
        ),
    )
    for kind in Kind:
        if count := totals.counts[kind]:
            yield from _of_kind(kind, count, totals.examples[kind], reader)


def _of_kind(kind: Kind, count: int, examples: Sequence[Example], reader: Reader) -> Iterator[str]:
    yield f"<details><summary>{kind_title(kind, reader)}: {count}</summary>"
    yield _element("p", kind_explanation(kind, reader))
    yield '<div class="wide"><table>\n'
    for example in examples:
        yield _example(example, reader)
    yield "</table></div>\n"
    if more := count - len(examples):
        yield _element("p", say(reader, "More in findings.csv: {count}.", count=more))
    yield "</details>\n"


def _example(example: Example, reader: Reader) -> str:
    unit, finding, place = example
    stamp = finding.stamp
    by = f"{stamp.name}, {_moment(stamp.happened, reader)}" if stamp else ""
    text = finding_text(finding, reader)
    return (
        f'<tr><td><a href="#{escape(unit.id)}">{escape(unit.serial)}</a></td>'
        f"<td>{escape(place)}</td><td>{escape(text)}</td><td>{escape(by)}</td></tr>\n"
    )


def _units(listing: Iterable[str], reader: Reader) -> Iterator[str]:
    names = ("units.csv", "readings.csv", "sign_offs.csv", "flags.csv")
    tables = ", ".join(_link(name, name) for name in names)
    heads = [say(reader, head) for head in SHOWN.values()]
    heads += [say(reader, "Items to review"), say(reader, "Files")]
    yield _element("h2", say(reader, "Units"))
    yield _element("p", say(reader, "The tables of this page: {tables}.", tables=tables))
    yield '<div class="wide"><table><thead><tr>'
    yield from (f'<th scope="col">{head}</th>' for head in heads)
    yield "</tr></thead><tbody>\n"
    yield from listing
    yield "</tbody></table></div>\n"


def _checking(audit: Audit) -> Iterator[str]:
    reader = audit.reader
    how = say(
        reader,
        "Open verify.html beside this folder and choose the ZIP, or read README.txt. The signed "
        "root of the log:",
    )
    yield _element("h2", say(reader, "How to check it"))
    yield _element("p", how)
    yield f"<pre>{escape(audit.cut.checkpoint.note)}</pre>\n"
