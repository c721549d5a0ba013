"""Exports say what the list says, and no spreadsheet runs anything in them."""

import csv
import io
import json
from collections.abc import Iterator
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from prep.actions.perform import perform
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.listing.page import all_rows
from prep.record.unit.commands.flags import RaiseFlag
from reports.bundles.csv_format import FORMULA, NUMBER
from reports.lists.all_lists import LISTS
from reports.lists.exports import EXPORTS
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few


def exported(wanted: str, fields: tuple[str, ...], rows: list[dict[str, Any]]) -> bytes:
    """A file as it is sent."""
    return b"".join(EXPORTS[wanted].write(fields, rows))


def csv_cells(content: bytes) -> list[list[str]]:
    """The cells of a CSV file."""
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def xlsx_cells(content: bytes) -> list[list[Any]]:
    """The cells of the first sheet of a workbook."""
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    return book.get_sheet_by_index(0).to_python()


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(LISTS))
def test_every_format_has_every_row_and_every_field(yard: Yard, name: str) -> None:
    """Of every list; what has no value is empty."""
    with_a_few(yard)
    listing = LISTS[name]
    asked, asker = asking(listing, {}), asker_of(yard.otto, listing)
    rows = list(all_rows(asked, asker))
    table = csv_cells(exported("csv", asked.fields, rows))
    assert table[0] == list(asked.fields)
    assert len(table) == 1 + len(rows)
    book = xlsx_cells(exported("xlsx", asked.fields, rows))
    assert len(book) == 1 + len(rows)
    assert book[0] == list(asked.fields)
    lines = exported("jsonl", asked.fields, rows).decode().splitlines()
    assert [list(json.loads(line)) for line in lines] == [list(asked.fields)] * len(rows)


@pytest.mark.django_db
def test_a_formula_that_somebody_typed_is_text_in_every_export(yard: Yard) -> None:
    """A flag's text that a spreadsheet would run (CWE-1236)."""
    unit = yard.started()
    typed = '=HYPERLINK("http://example.invalid","see")'
    perform(RaiseFlag(text=typed), actor=yard.ada, target=unit)
    listing = LISTS["flags"]
    asked, asker = asking(listing, {}, fields="text"), asker_of(yard.otto, listing)
    rows = list(all_rows(asked, asker))
    assert csv_cells(exported("csv", asked.fields, rows))[1] == [f"'{typed}"]
    assert xlsx_cells(exported("xlsx", asked.fields, rows))[1] == [typed]
    assert b"<f>" not in _sheet(exported("xlsx", asked.fields, rows))
    assert json.loads(exported("jsonl", asked.fields, rows))["text"] == typed


def _sheet(content: bytes) -> bytes:
    """The XML of the first sheet of a workbook."""
    import zipfile

    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return packed.read("xl/worksheets/sheet1.xml")


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0\r"))))
def test_no_cell_of_a_csv_file_begins_like_a_formula(texts: list[str]) -> None:
    """Whatever was typed, but for numbers; and without the quote it is what was typed."""
    rows = [{"text": text} for text in texts]
    cells = [row[0] if row else "" for row in csv_cells(exported("csv", ("text",), rows))[1:]]
    assert all(NUMBER.fullmatch(cell) or not FORMULA.match(cell) for cell in cells)
    assert [cell.removeprefix("'") for cell in cells] == [t.removeprefix("'") for t in texts]


def test_numbers_stay_numbers_and_codes_stay_texts() -> None:
    """A serial with leading zeros is not shortened, an id of digits is no amount."""
    row = {"serial": "00471", "count": 12, "open": True, "id": UUID(int=7), "none": None}
    fields = tuple(row)
    assert csv_cells(exported("csv", fields, [row]))[1] == [
        "00471",
        "12",
        "yes",
        str(UUID(int=7)),
        "",
    ]
    assert xlsx_cells(exported("xlsx", fields, [row]))[1] == [
        "00471",
        12.0,
        "yes",
        str(UUID(int=7)),
        "",
    ]


def test_an_export_is_written_while_it_is_read() -> None:
    """The first rows are sent before the last ones are read, so that memory does not grow."""
    read = 0

    def rows() -> Iterator[dict[str, Any]]:
        nonlocal read
        for number in range(10_000):
            read += 1
            yield {"number": number}

    written = EXPORTS["csv"].write(("number",), rows())
    assert next(written) == "\ufeff".encode()
    next(written)
    assert read < 1000
