"""Tables in CSV files, in the encodings and with the separators that spreadsheets write."""

import codecs
import csv
import io
from collections.abc import Callable, Iterator
from itertools import islice
from typing import Final

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Notice, Row, Table

SEPARATORS: Final = (",", ";", "\t")
DECLARED: Final = "sep="  # a first line that spreadsheets write: which separator follows
LONGEST_CELL: Final = 20_000  # characters; no field of a command takes as many
HEAD_BYTES: Final = 400


def csv_table(content: bytes, known: Callable[[str], bool]) -> Table:
    """The table in the bytes of a CSV file; Refusal where they cannot be read as one."""
    encoding = encoding_of(content)
    text = content.decode(encoding).removeprefix("\ufeff")
    separator, skipped = _declared(text)
    if not separator:
        separator = _sniffed(text, known)

    def rows() -> Iterator[Row]:
        return islice(_rows(text, separator), skipped, None)

    shown = {"\t": "tab"}.get(separator, separator)
    return Table(rows, (Notice("csv", {"encoding": encoding.upper(), "separator": shown}),))


def encoding_of(content: bytes) -> str:
    """The encoding of a text file: by its mark, else UTF-8 if it is, else Windows-1252 if it is.

    Without a mark it is UTF-16 where many of its bytes are NUL, as in every text of our languages;
    a single NUL is a fault of one cell.
    """
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        encodings = ["utf-16"]
    elif content[:HEAD_BYTES].count(0) > len(content[:HEAD_BYTES]) // 4:
        encodings = ["utf-16-be" if content.startswith(b"\0") else "utf-16-le"]
    elif content.startswith(codecs.BOM_UTF8):
        encodings = ["utf-8"]
    else:
        encodings = ["utf-8", "windows-1252"]
    for encoding in encodings:
        try:
            content.decode(encoding)
        except UnicodeDecodeError:
            continue
        return encoding
    raise Refusal("table-encoding")


def _declared(text: str) -> tuple[str, int]:
    """The separator that the first line declares, and the lines that takes; none without one."""
    first = text[:10].split("\n", 1)[0].rstrip("\r").strip('"').lower()
    if first.startswith(DECLARED) and first[len(DECLARED) :] in SEPARATORS:
        return first[len(DECLARED) :], 1
    return "", 0


def _sniffed(text: str, known: Callable[[str], bool]) -> str:
    """The separator that divides the titles into the most known ones, else into the most."""

    def fits(separator: str) -> tuple[int, int]:
        try:
            titles = next((row.cells for row in _rows(text, separator) if not row.empty), ())
        except Refusal:  # quotes in the titles that only another separator makes sense of
            return (0, 0)
        return sum(known(str(title)) for title in titles), len(titles)

    return max(SEPARATORS, key=fits)


def _rows(text: str, separator: str) -> Iterator[Row]:
    """Rows, numbered as a spreadsheet numbers them: a cell with line ends in it is in one row."""
    csv.field_size_limit(LONGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 0
    while True:
        line += 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as wrong:
            raise Refusal("table-quotes", line=line) from wrong
        yield Row(line, cells)
