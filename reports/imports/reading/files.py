"""Opening of a file somebody sent: what it is by its bytes, whatever it is called."""

from collections.abc import Callable
from pathlib import PurePath
from typing import Final

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Table
from reports.imports.reading.csv_files import csv_table
from reports.imports.reading.workbooks import workbook_table

MOST_BYTES: Final = 8 * 1024**2

ZIP: Final = b"PK\x03\x04"
# Compound files: workbooks of before 2007, and every workbook behind a password.
COMPOUND: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
# What else people send by mistake: PDF, pictures, web pages saved as a table, archives.
OTHERS: Final = (
    b"%PDF",
    b"\x89PNG",
    b"\xff\xd8\xff",
    b"GIF8",
    b"{\\rtf",
    b"\x1f\x8b",
    b"7z\xbc\xaf",
)
MARKUP: Final = (b"<!doctype", b"<html", b"<table", b"<?xml", b"<meta")
WORKBOOK_NAMES: Final = frozenset({".xlsx", ".xlsm"})
CSV_NAMES: Final = frozenset({".csv", ".txt", ".tsv"})


def open_table(content: bytes, name: str, known: Callable[[str], bool]) -> Table:
    """The table in a file; raises Refusal, saying what to do, where there is none.

    `known` says whether a text is one of the column titles looked for.
    """
    if len(content) > MOST_BYTES:
        raise Refusal("table-too-large", most=MOST_BYTES // 1024**2)
    ending = PurePath(name).suffix.casefold()
    if content.startswith(COMPOUND):
        raise Refusal("table-locked")
    if content.startswith(ZIP):
        if ending in CSV_NAMES:
            raise Refusal("table-not-csv", name=name)
        return workbook_table(content)
    start = content[:200].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if content.startswith(OTHERS) or start.startswith(MARKUP):
        raise Refusal("table-unreadable")
    if ending in WORKBOOK_NAMES:
        raise Refusal("table-not-a-workbook", name=name)
    return csv_table(content, known)
