"""Exports of a list: CSV, XLSX and JSON lines, every row, written as they are read.

A cell of a spreadsheet that begins like a formula is text: programs would run it otherwise.
"""

import csv
import io
import tempfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

import orjson
import xlsxwriter
from django.utils.http import content_disposition_header

from prep.queries.listing.declaration import Row
from prep.record.refusal import Refusal
from reports.bundles.csv_format import safe_cell

AS_IT_IS: Final = (int, float, str)
BATCH: Final = 200  # rows sent at once
CHUNK: Final = 1 << 16
MOST_ROWS: Final = 1_048_575  # of a sheet, beside its head: what spreadsheet programs open


@dataclass(frozen=True)
class Export:
    """A format: its media type, and what writes rows with these fields."""

    media_type: str
    ending: str
    write: Callable[[tuple[str, ...], Iterable[Row]], Iterator[bytes]]


def export_named(wanted: str) -> Export:
    """A format by its name; raises Refusal where there is none."""
    if wanted not in EXPORTS:
        raise Refusal("no-such-format", field="export", known=tuple(EXPORTS))
    return EXPORTS[wanted]


def sent_headers(export: Export, listing: str) -> dict[str, str]:
    """The headers with which a list is sent as a file."""
    named = content_disposition_header(True, f"{listing}.{export.ending}")
    return {"Content-Type": export.media_type, "Content-Disposition": str(named)}


def _csv(fields: tuple[str, ...], rows: Iterable[Row]) -> Iterator[bytes]:
    """CSV (RFC 4180) in UTF-8 with a mark at its head, without which a spreadsheet guesses."""
    buffer = io.StringIO()
    writer = csv.writer(buffer)
    writer.writerow(fields)
    yield "\ufeff".encode()
    for number, row in enumerate(rows, 1):
        writer.writerow([_cell(row[name]) for name in fields])
        if number % BATCH == 0:
            yield _taken(buffer)
    yield _taken(buffer)


def _taken(buffer: io.StringIO) -> bytes:
    written = buffer.getvalue().encode()
    buffer.seek(0)
    buffer.truncate()
    return written


def _cell(value: Any) -> Any:
    """A value as a cell of a CSV file; text that a program would take for a formula is marked."""
    text = value if type(value) is str else plain(value)  # most are text: a call saved
    return safe_cell(text) if type(text) is str and text else text


def plain(value: Any) -> Any:
    """A value as text, number or nothing."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, AS_IT_IS):
        return value
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return "; ".join(str(part) for part in value)
    if isinstance(value, dict):  # a reason, or the words of a state
        return value.get("text") or value["word"]
    return str(value) if value else ""


def _json_lines(fields: tuple[str, ...], rows: Iterable[Row]) -> Iterator[bytes]:
    """A JSON object a line."""
    lines: list[bytes] = []
    for row in rows:
        lines.append(orjson.dumps(row, option=orjson.OPT_APPEND_NEWLINE, default=str))
        if len(lines) == BATCH:
            yield b"".join(lines)
            lines.clear()
    yield b"".join(lines)


def _xlsx(fields: tuple[str, ...], rows: Iterable[Row]) -> Iterator[bytes]:
    """A workbook, written to a temporary file row by row; a further sheet where one is full."""
    with tempfile.TemporaryFile() as file:
        book = xlsxwriter.Workbook(
            file,
            {
                "constant_memory": True,
                "strings_to_formulas": False,
                "strings_to_urls": False,
                "strings_to_numbers": False,
            },
        )
        bold = book.add_format({"bold": True})
        sheet = _sheet(book, fields, bold)
        for number, row in enumerate(rows):
            if number and number % MOST_ROWS == 0:
                sheet = _sheet(book, fields, bold)
            for column, name in enumerate(fields):
                _write_cell(sheet, number % MOST_ROWS + 1, column, plain(row[name]))
        book.close()
        file.seek(0)
        while chunk := file.read(CHUNK):
            yield chunk


def _sheet(book: Any, fields: tuple[str, ...], bold: Any) -> Any:
    sheet = book.add_worksheet()
    sheet.freeze_panes(1, 0)
    sheet.write_row(0, 0, fields, bold)
    return sheet


def _write_cell(sheet: Any, row: int, column: int, value: Any) -> None:
    if isinstance(value, int | float):
        sheet.write_number(row, column, value)
    elif value != "":
        sheet.write_string(row, column, value)


EXPORTS: Final[dict[str, Export]] = {
    "csv": Export("text/csv", "csv", _csv),
    "xlsx": Export(
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "xlsx", _xlsx
    ),
    "jsonl": Export("application/jsonl", "jsonl", _json_lines),
}
