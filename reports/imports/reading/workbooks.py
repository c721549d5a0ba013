"""Tables in workbooks (.xlsx, ISO/IEC 29500): the first sheet in sight that has something in it."""

import re
import zipfile
from collections.abc import Iterator
from io import BytesIO
from typing import Any, Final
from xml.etree import ElementTree

import python_calamine

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Cell, Notice, Row, Table, column_letter
from reports.imports.reading.limits import MOST_ROWS
from reports.imports.reading.workbook_scan import Scan, check_archive, scan_sheet

RELATIONSHIP: Final = (
    "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
    "{http://purl.oclc.org/ooxml/officeDocument/relationships}id",
)
LARGEST_LIST: Final = 1024**2  # bytes of the parts that list the sheets


def workbook_table(content: bytes) -> Table:
    """The table in the bytes of a workbook; Refusal where there is none."""
    archive = check_archive(content)
    paths = _sheet_paths(archive)
    book = _opened(content)
    visible = [
        sheet.name
        for sheet in book.sheets_metadata
        if sheet.visible == python_calamine.SheetVisibleEnum.Visible
        and sheet.typ == python_calamine.SheetTypeEnum.WorkSheet
    ]
    for name in visible:
        scan = scan_sheet(archive, paths.get(name, ""), MOST_ROWS)
        if scan.rows:
            break
    else:
        raise Refusal("table-empty")
    return Table(
        lambda: _rows(content, name, scan), tuple(_notices(name, len(book.sheets_metadata)))
    )


def _notices(name: str, sheets: int) -> Iterator[Notice]:
    if sheets > 1:
        yield Notice("sheet", {"sheet": name, "sheets": sheets})


def _opened(content: bytes) -> Any:
    try:
        return python_calamine.load_workbook(BytesIO(content))
    except python_calamine.PasswordError as locked:
        raise Refusal("table-locked") from locked
    except (python_calamine.CalamineError, OSError, ValueError) as wrong:
        raise Refusal("table-broken") from wrong


def _rows(content: bytes, name: str, scan: Scan) -> Iterator[Row]:
    """Rows of a sheet; a cell that is a formula or an error is so whatever value was saved."""
    try:
        sheet = _opened(content).get_sheet_by_name(name)
        merged = sheet.merged_cell_ranges or []
    except (python_calamine.CalamineError, OSError, ValueError) as wrong:
        raise Refusal("table-broken") from wrong
    if merged:
        (top, left), (bottom, right) = merged[0]
        cells = f"{column_letter(left + 1)}{top + 1}:{column_letter(right + 1)}{bottom + 1}"
        raise Refusal("table-merged", cells=cells)
    before = [""] * (sheet.start[1] if sheet.start else 0)
    line = 0
    for line, values in enumerate(sheet.iter_rows(), 1):
        yield _row(line, [*before, *values], scan)
    for further in range(line + 1, scan.rows + 1):  # with errors only, which the reader drops
        yield _row(further, [], scan)


def _row(line: int, values: list[Cell], scan: Scan) -> Row:
    """A row as wide as the sheet, with its formulas and errors in their places."""
    cells = values + [""] * (scan.columns - len(values))
    if scan.odd:
        cells = [scan.odd.get((line, column), cell) for column, cell in enumerate(cells, 1)]
    return Row(line, cells)


def _sheet_paths(archive: zipfile.ZipFile) -> dict[str, str]:
    """The part of the archive that holds each sheet, by the sheet's name."""
    targets = {
        one.get("Id", ""): one.get("Target", "")
        for one in _list_of(archive, "xl/_rels/workbook.xml.rels")
    }
    paths = {}
    for sheet in _list_of(archive, "xl/workbook.xml").iter():
        if sheet.tag.endswith("}sheet"):
            relation = next(filter(None, map(sheet.get, RELATIONSHIP)), "")
            target = targets.get(relation, "")
            absolute = target.startswith("/")
            paths[sheet.get("name", "")] = target[1:] if absolute else f"xl/{target}"
    return paths


def _list_of(archive: zipfile.ZipFile, path: str) -> ElementTree.Element:
    """A small part of the archive; Refusal where it is missing, damaged or declares entities."""
    try:
        with archive.open(path) as opened:
            text = opened.read(LARGEST_LIST)
        if re.search(rb"<!(DOCTYPE|ENTITY)", text):
            raise Refusal("table-broken")
        return ElementTree.fromstring(text)
    except (KeyError, zipfile.BadZipFile, ElementTree.ParseError, EOFError) as wrong:
        raise Refusal("table-broken") from wrong
