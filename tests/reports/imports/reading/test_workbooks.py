"""Workbooks with what people and programs put into them."""

import re
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from io import BytesIO
from typing import Any

import pytest

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Cell, ErrorValue, Formula
from reports.imports.reading.files import open_table
from tests.reports.imports.sent import workbook

TITLES = ["Manufacturer", "Serial number"]


def rows(content: bytes, name: str = "list.xlsx") -> list[list[Cell]]:
    """The cells of each row that is not empty."""
    table = open_table(content, name, lambda title: True)
    return [list(row.cells) for row in table.rows() if not row.empty]


def refused(content: bytes, name: str = "list.xlsx") -> Refusal:
    """The refusal of a file, when it is opened or read."""
    with pytest.raises(Refusal) as caught:
        rows(content, name)
    return caught.value


def changed(content: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    """A workbook in which one part was changed by another program."""
    made = BytesIO()
    with zipfile.ZipFile(BytesIO(content)) as old, zipfile.ZipFile(made, "w", 8) as new:
        for name in old.namelist():
            text = old.read(name)
            new.writestr(name, change(text) if name == part else text)
    return made.getvalue()


def test_texts_numbers_days_and_answers_are_told_apart() -> None:
    """What a spreadsheet took for a number or a day is seen to be one."""

    def add(book: Any, sheet: Any) -> None:
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        sheet.write_datetime(2, 0, datetime(2026, 3, 2), day)
        sheet.write_boolean(2, 1, True)

    content = workbook([TITLES, ["00017", 12345.0]], add)
    assert rows(content)[1:] == [["00017", 12345.0], [date(2026, 3, 2), True]]


def test_formulas_and_errors_are_seen_whatever_value_was_saved() -> None:
    """Also in a last row in which there is nothing else."""

    def add(book: Any, sheet: Any) -> None:
        sheet.write_formula(1, 0, '="00"&"17"', None, "0017")
        sheet.write_formula(1, 1, "=NA()", None, "#N/A")
        sheet.write_formula(2, 1, "=1/0", None, "")

    content = workbook([TITLES], add)
    assert rows(content)[1:] == [[Formula(), Formula()], ["", Formula()]]
    sheet = "xl/worksheets/sheet1.xml"
    pasted = changed(content, sheet, lambda text: re.sub(rb"<f>.*?</f>", b"", text))
    assert rows(pasted)[1][1] == ErrorValue("#N/A")


def test_the_first_sheet_in_sight_with_something_in_it_is_read_and_named() -> None:
    """Hidden sheets and empty ones are passed over."""

    def add(book: Any, sheet: Any) -> None:
        sheet.hide()
        book.add_worksheet("Empty")
        list_of = book.add_worksheet("To import")
        list_of.write_row(0, 0, TITLES)
        list_of.activate()

    table = open_table(workbook([["hidden"]], add), "a.xlsx", lambda title: True)
    assert [list(row.cells) for row in table.rows()] == [TITLES]
    assert table.notices[0].values == {"sheet": "To import", "sheets": 3}


def test_a_table_that_begins_further_in_keeps_its_columns_and_lines() -> None:
    """Its letters and numbers are those of the spreadsheet."""

    def add(book: Any, sheet: Any) -> None:
        sheet.write_string("C4", "Serial number")

    table = open_table(workbook([], add), "a.xlsx", lambda title: True)
    (row,) = [row for row in table.rows() if not row.empty]
    assert (row.line, row.cells) == (4, ["", "", "Serial number"])


def _merge(book: Any, sheet: Any) -> None:
    sheet.merge_range("A1:B1", "Units")


def _all_hidden(book: Any, sheet: Any) -> None:
    book.add_worksheet("Empty").activate()
    sheet.hide()


def _far_down(book: Any, sheet: Any) -> None:
    sheet.write_string(1_000_000, 0, "x")


def _far_right(book: Any, sheet: Any) -> None:
    sheet.write_string(0, 16_000, "x")


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (_merge, "table-merged"),
        (_all_hidden, "table-empty"),
        (_far_down, "table-too-long"),
        (_far_right, "table-too-wide"),
    ],
)
def test_a_workbook_that_holds_no_plain_table_is_refused(
    edit: Callable[[Any, Any], None], code: str
) -> None:
    """With what to do about it; one cell far out takes no memory."""
    assert refused(workbook([TITLES], edit)).code == code


def test_a_cell_that_is_only_formatted_is_not_there() -> None:
    """A border far down makes no table of a million rows."""

    def add(book: Any, sheet: Any) -> None:
        sheet.write_blank(1_000_000, 90, None, book.add_format({"bold": True}))

    assert rows(workbook([TITLES], add)) == [TITLES]


@pytest.mark.parametrize("size", [0, 4, 50, 700, -30, -1])
def test_a_workbook_cut_short_is_refused(size: int) -> None:
    """As after a download that broke off."""
    content = workbook([TITLES, ["a", "b"]])[:size]
    with pytest.raises(Refusal):
        rows(content, "list.xlsx")


SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize(
    ("part", "change"),
    [
        (SHEET, lambda text: text[:-40]),
        (SHEET, lambda text: b"<!DOCTYPE a [<!ENTITY b 'c'>]>" + text[55:]),
        ("xl/workbook.xml", lambda text: text[:-40]),
        ("xl/workbook.xml", lambda text: text.replace(b'r:id="rId1"', b'r:id="rId9"')),
        ("xl/_rels/workbook.xml.rels", lambda text: b"<!DOCTYPE a>" + text[55:]),
        ("xl/sharedStrings.xml", lambda text: text[:-40]),
    ],
)
def test_a_workbook_damaged_inside_is_refused(part: str, change: Callable[[bytes], bytes]) -> None:
    """Whichever part it is, and where it declares entities to swell."""
    assert refused(changed(workbook([TITLES, ["a", "b"]]), part, change)).code == "table-broken"


def test_a_workbook_with_macros_is_refused() -> None:
    """Whatever its name says."""
    content = BytesIO(workbook([TITLES]))
    with zipfile.ZipFile(content, "a") as book:
        book.writestr("xl/vbaProject.bin", b"\0")
    assert refused(content.getvalue()).code == "table-macros"


def test_a_small_file_that_unpacks_to_much_is_refused() -> None:
    """Also where its header says that it does not."""
    made = BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/workbook.xml", b"<a/>")
        book.writestr(SHEET, b"\0" * (130 * 1024**2))
    content = made.getvalue()
    assert len(content) < 1024**2
    assert refused(content).code == "table-unpacks"
    honest = (130 * 1024**2).to_bytes(4, "little")
    assert refused(content.replace(honest, (1000).to_bytes(4, "little"))).code == "table-unpacks"


def test_an_archive_that_is_no_workbook_is_refused() -> None:
    """A folder of photos, called a list."""
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("photo.jpg", b"x")
    assert refused(made.getvalue()).code == "table-unreadable"
    assert refused(workbook([TITLES]), "list.csv").code == "table-not-csv"
