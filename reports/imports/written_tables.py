"""Tables as files: CSV and workbooks whose cells are texts, and which nothing computes."""

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Final

import xlsxwriter

from reports.bundles.csv_format import csv_line

BOM: Final = "\ufeff"  # without it a spreadsheet takes UTF-8 for Windows-1252
WORKBOOK: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MEDIA_TYPES: Final = {"csv": "text/csv", "xlsx": WORKBOOK}
LONGEST_CELL: Final = 32_767  # characters a spreadsheet keeps in a cell
WIDTH: Final = 24

Rows = Iterable[Sequence[str]]


def table_file(titles: Sequence[str], rows: Rows, file_format: str) -> bytes:
    """A table with its titles in the format asked for, `csv` or `xlsx`."""
    return (csv_file if file_format == "csv" else workbook)(titles, rows)


def csv_file(titles: Sequence[str], rows: Rows) -> bytes:
    """A CSV file with commas, in UTF-8 with its mark."""
    return (BOM + "".join(csv_line(row) for row in (titles, *rows))).encode()


def workbook(titles: Sequence[str], rows: Rows) -> bytes:
    """A workbook of one sheet; its columns are formatted as text, so that what is typed stays."""
    made = BytesIO()
    options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(made, options)
    sheet = book.add_worksheet()
    text = book.add_format({"num_format": "@"})
    bold = book.add_format({"num_format": "@", "bold": True})
    sheet.set_column(0, max(len(titles) - 1, 0), WIDTH, text)
    sheet.freeze_panes(1, 0)
    for line, row in enumerate((titles, *rows)):
        for place, cell in enumerate(row):
            if cell:
                sheet.write_string(line, place, cell[:LONGEST_CELL], text if line else bold)
    book.close()
    return made.getvalue()
