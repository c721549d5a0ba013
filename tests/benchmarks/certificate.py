"""Making a delivery certificate against its bare text by a canvas and by two other libraries.

    pip install -r tests/benchmarks/requirements.txt
    YARDPROOF_DATA=$(mktemp -d) python -m tests.benchmarks.certificate

The others draw the same words in the same cells at one size, with rules between rows: no pictures,
no QR code, no bookmarks, no attached record, no archival check. Each is timed turn by turn in one
process, and its memory taken in a process of its own, as growth over what its imports need.
"""

import os
import sys
from collections.abc import Callable, Iterator
from functools import partial
from html import escape
from importlib import import_module
from io import BytesIO
from itertools import groupby
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final, NamedTuple

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

PAPER: Final = "A4"
SIZE, LEADING, PAD = 8.0, 9.8, 3.0
MIB: Final = 1 << 10  # of kilobytes, in which Linux counts resident memory


class Row(NamedTuple):
    """Texts beside one another and the widths of their columns in points."""

    widths: tuple[float, ...]
    texts: tuple[str, ...]


def rows_of(story: list[Any], width: float) -> Iterator[Row]:
    """Every text of a story, cell by cell; a cell that spans a table is a row of one column."""
    for flowable in story:
        if hasattr(flowable, "getPlainText"):
            yield Row((width,), (_plain(flowable),))
        elif hasattr(flowable, "_cellvalues"):
            for cells in flowable._cellvalues:  # its public form is the drawn table
                texts = tuple(_plain(cell) for cell in cells)
                said = [text for text in texts if text]
                alone = len(said) == 1 and len(texts) > 1
                yield Row((width,), tuple(said)) if alone else Row(tuple(flowable._argW), texts)
        elif hasattr(flowable, "_content"):
            yield from rows_of(flowable._content, width)


def _plain(cell: Any) -> str:
    if isinstance(cell, list | tuple):
        return "\n".join(filter(None, map(_plain, cell)))
    if hasattr(cell, "getPlainText"):
        return str(cell.getPlainText(identify=1))
    return cell if isinstance(cell, str) else ""


def canvas(rows: list[Row]) -> bytes:
    """With ReportLab's canvas alone: strings split to their columns and drawn, a rule a row."""
    from reportlab.lib.utils import simpleSplit
    from reportlab.pdfgen.canvas import Canvas

    from reports.pdf.page import BOTTOM, PAPERS, SIDE, TOP
    from reports.pdf.typeface import BODY

    target = BytesIO()
    wide, high = PAPERS[PAPER]
    drawn = Canvas(target, pagesize=(wide, high), invariant=1)
    drawn.setFont(BODY, SIZE)
    y = high - TOP
    for row in rows:
        columns = zip(row.texts, row.widths, strict=True)
        cells = [simpleSplit(text, BODY, SIZE, width - 2 * PAD) for text, width in columns]
        tall = max(map(len, cells)) * LEADING + 2 * PAD
        if y - tall < BOTTOM:
            drawn.showPage()
            drawn.setFont(BODY, SIZE)
            y = high - TOP
        x = SIDE
        for lines, width in zip(cells, row.widths, strict=True):
            for number, line in enumerate(lines, 1):
                drawn.drawString(x + PAD, y - PAD - number * LEADING, line)
            x += width
        y -= tall
        drawn.line(SIDE, y, wide - SIDE, y)
    drawn.save()
    return target.getvalue()


def fpdf2(rows: list[Row]) -> bytes:
    """With the tables of fpdf2."""
    from reports.pdf.page import SIDE

    pdf = import_module("fpdf").FPDF(unit="pt", format=PAPER)
    pdf.set_margin(SIDE)
    pdf.add_font("body", fname=_font())
    pdf.set_font("body", size=SIZE)
    pdf.add_page()
    for widths, group in groupby(rows, lambda row: row.widths):
        table_of = pdf.table(
            col_widths=widths,
            width=sum(widths),
            line_height=LEADING,
            first_row_as_headings=False,
            borders_layout="HORIZONTAL_LINES",
        )
        with table_of as table:
            for row in group:
                table.row(row.texts)
    return bytes(pdf.output())


def weasyprint(rows: list[Row]) -> bytes:
    """With WeasyPrint, from HTML tables and a style sheet."""
    tables = []
    for widths, group in groupby(rows, lambda row: row.widths):
        columns = "".join(f'<col style="width:{width}pt">' for width in widths)
        body = "".join(
            f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row.texts)}</tr>" for row in group
        )
        tables.append(f"<table>{columns}{body}</table>")
    style = (
        f"@page {{size: {PAPER}; margin: 20mm 15mm}} "
        f"@font-face {{font-family: body; src: url({Path(_font()).as_uri()})}} "
        f"body {{font: {SIZE}pt/{LEADING}pt body}} table {{table-layout: fixed; width: 100%; "
        "border-collapse: collapse} td {border-bottom: 0.3pt solid; vertical-align: top; "
        "white-space: pre-line}"
    )
    page = f"<html><head><style>{style}</style></head><body>{''.join(tables)}</body></html>"
    return bytes(import_module("weasyprint").HTML(string=page).write_pdf())


def _font() -> str:
    from reports.pdf import typeface

    return str(Path(typeface.__file__).parent / "fonts" / f"{typeface.BODY}.ttf")


def pages(made_from: tuple[Any, dict[str, bytes]]) -> bytes:
    """The certificate's pages, with QR code, drawings, photographs and bookmarks."""
    from reports.certificate.pdf.pages import certificate_pages

    return certificate_pages(*made_from, PAPER)


def whole(made_from: tuple[Any, dict[str, bytes]]) -> bytes:
    """The certificate as issued: the pages, the record attached, checked as PDF/A-3b."""
    from reports.certificate.document import certificate_pdf

    return certificate_pdf(*made_from, PAPER)


def largest() -> tuple[Any, dict[str, bytes]]:
    """Facts and photographs of the longest certificate of the demonstration."""
    from django.core.management import call_command

    from reports.certificate.document import photographs
    from reports.certificate.gather.certificate import certificate_facts
    from reports.models import DocumentRequest

    call_command("migrate", verbosity=0)
    finished = DocumentRequest.objects.filter(kind="certificate", state="done").order_by("-bytes")
    if not finished.exists():
        call_command("demo", no_serve=True)
    found = finished[0]
    assert found.unit_id is not None
    facts = certificate_facts(
        found.unit_id, found.cause, number=found.number, address="http://127.0.0.1:8000"
    )
    return facts, photographs(facts)


def peak(work: Callable[[Any], bytes], given: Any) -> float:
    """MiB by which the work raised the memory of a process of its own."""
    with get_context("spawn").Pool(1) as pool:
        return pool.apply(_grown, (work, given))


def _grown(work: Callable[[Any], bytes], given: Any) -> float:
    for library in ("fpdf", "weasyprint", "reports.certificate.document"):
        import_module(library)
    Path("/proc/self/clear_refs").write_text("5")  # Linux: the peak counts anew from here
    before = _kilobytes("VmRSS")
    work(given)
    return (_kilobytes("VmHWM") - before) / MIB


def _kilobytes(field: str) -> int:
    """Resident memory of this process, now (VmRSS) or at its peak (VmHWM)."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return int(next(line.split()[1] for line in lines if line.startswith(f"{field}:")))


def main() -> None:
    """Print time, ratio, size and memory of each."""
    from pypdf import PdfReader

    from reports.certificate.pdf.pages import certificate_story
    from reports.pdf.page import room
    from tests.benchmarks.timing import best_of, table

    certificate = largest()
    width = room(PAPER)
    rows = list(rows_of(certificate_story(*certificate, width), width))
    works: dict[str, tuple[Callable[[Any], bytes], Any]] = {
        "bare canvas of ReportLab": (canvas, rows),
        "fpdf2": (fpdf2, rows),
        "WeasyPrint": (weasyprint, rows),
        "certificate, its pages": (pages, certificate),
        "certificate, whole": (whole, certificate),
    }
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    best = best_of({name: partial(work, given) for name, (work, given) in works.items()}, rounds)
    characters = sum(len(text) for row in rows for text in row.texts)
    print(f"{len(certificate[0].boxes)} boxes, {len(rows)} rows, {characters} characters")
    print(table(best, "bare canvas of ReportLab", unit="ms"))
    for name, (work, given) in works.items():
        made = work(given)
        count = len(PdfReader(BytesIO(made)).pages)
        grown = peak(work, given)
        print(f"{name:<44} {count:>4} pages {len(made) / 1024:>7.0f} KiB   +{grown:.0f} MiB")


if __name__ == "__main__":
    main()
