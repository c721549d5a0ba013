"""Files we give away: templates that can be filled in, and lists of problems nothing computes."""

import csv
from io import BytesIO, StringIO

import pytest
import python_calamine
from hypothesis import given
from hypothesis import strategies as st

from prep.actions.perform import perform
from prep.record.manufacturer.commands import AddManufacturer
from prep.words.reader import LANGUAGES, Reader
from reports import imports
from reports.imports.declared import ImportKind
from reports.imports.files import opened
from reports.imports.kinds import BUYERS, IMPORTS, UNITS
from reports.imports.reading.files import open_table
from reports.imports.reading.values import CellKind, read_value
from reports.imports.written_tables import csv_file, table_file, workbook
from tests.cast import Yard
from tests.reports.imports.sent import problems, send

FORMULA = "“=1+1” begins like a formula. Type it without the sign in front."
EACH_KIND = pytest.mark.parametrize("kind", IMPORTS.values(), ids=list(IMPORTS))


@pytest.mark.django_db
@EACH_KIND
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_template_is_a_file_of_its_kind(kind: ImportKind, language: str, ending: str) -> None:
    """In each language; its example is a row that would be fit, and is refused as the example."""
    content = imports.template(kind, Reader(language=language), ending)
    reader = opened(content, f"template.{ending}", kind, "north").reader
    (row,) = reader.rows()
    prepared = reader.prepared(row)
    assert [problem.refusal.code for problem in prepared.problems] == ["row-is-example"]


@pytest.mark.parametrize("kind", sorted(IMPORTS))
def test_the_examples_of_a_template_are_fit(yard: Yard, kind: str) -> None:
    """What they say can be carried out, once one thing is another."""
    chosen = imports.import_kind(kind)
    text = imports.template(chosen, Reader(), "csv").decode("utf-8-sig")
    titles, example = csv.reader(StringIO(text, newline=""))
    changed = {"units": ("serial", "TC777"), "buyers": ("name", "Wes Fen (invented)")}
    name, value = changed.get(kind, ("name", "Another name"))
    place = [column.name for column in chosen.columns].index(name)
    example[place] = value
    if kind in {"models", "tractors"}:
        perform(AddManufacturer(name="Fenwick"), actor=yard.mira)
        example[0] = "NEW-1"
    made = StringIO(newline="")
    csv.writer(made).writerows([titles, example])
    job = send(yard, made.getvalue().encode(), kind=kind, actor=yard.mira, run=True)
    assert (problems(job), job.made) == ([], 1)


def test_the_columns_of_a_template_keep_what_is_typed_as_text() -> None:
    """A serial number with leading zeros typed into it stays one."""
    book = workbook(["Serial number"], [["00017"]])
    assert b"xl/styles.xml" in book
    sheet = python_calamine.load_workbook(BytesIO(book)).get_sheet_by_index(0)
    assert list(sheet.iter_rows()) == [["Serial number"], ["00017"]]


PLAIN = st.text(
    st.characters(exclude_categories=["C"], exclude_characters="=+-@'＝＋－＠#"), max_size=20
).filter(lambda text: "_x" not in text)


@given(
    st.lists(st.lists(PLAIN, min_size=3, max_size=3), max_size=5), st.sampled_from(["csv", "xlsx"])
)
def test_what_is_written_reads_back(rows: list[list[str]], ending: str) -> None:
    """Every text that no spreadsheet computes, in either format."""
    titles = ["Manufacturer", "Serial number", "Location"]
    table = open_table(
        table_file(titles, rows, ending), f"a.{ending}", lambda title: title in titles
    )
    read = [
        [read_value(CellKind.TEXT, cell) or "" for cell in row.cells]
        for row in table.rows()
        if not row.empty
    ]
    wanted = [[read_value(CellKind.TEXT, cell) or "" for cell in row] for row in rows]
    assert read == [titles, *(row for row in wanted if any(row))]


@pytest.mark.parametrize("text", ["=1+1", "+1 605", "-x", "@SUM(A1)", "＝1", "\t=1", "\r=1"])
def test_no_problem_can_be_a_formula(text: str) -> None:
    """An apostrophe before it in CSV; a text, and no formula, in a workbook."""
    (line,) = csv.reader(StringIO(csv_file([text], []).decode("utf-8-sig"), newline=""))
    assert line == ["'" + text]
    assert b"<f>" not in workbook([text], [[text]])


def test_the_problems_of_an_import_are_a_table(yard: Yard) -> None:
    """In the reader's language, with line, letter and title of the column."""
    content = b"Manufacturer,Serial number,Location\nLarkfield,=1+1,\n,TC1,\n"
    job = send(yard, content)
    text = imports.problem_file(job, Reader(), "csv").decode("utf-8-sig")
    assert list(csv.reader(StringIO(text, newline=""))) == [
        ["Line", "Column", "Title", "Problem"],
        [
            "2",
            "B",
            "Serial number",
            "“=1+1” begins like a formula. Type it without the sign in front.",
        ],
        ["3", "A", "Manufacturer", "The cell is empty. Fill it in."],
    ]
    book = imports.problem_file(job, Reader(), "xlsx")
    sheet = python_calamine.load_workbook(BytesIO(book)).get_sheet_by_index(0)
    assert [row[:2] for row in sheet.iter_rows()][1:] == [["2", "B"], ["3", "A"]]


def test_a_field_that_is_not_fit_is_called_as_in_the_file(yard: Yard) -> None:
    """Not by its name in programs."""
    content = b"customer,Mail\nFen Farm (invented),fen at example\n" + b"x" * 201 + b",\n"
    job = send(yard, content, kind="buyers", actor=yard.sol)
    texts = [imports.problem_cells(one, Reader())[2:] for one in imports.problems_of(job)]
    assert texts == [
        ["Mail", "Enter a valid e-mail address."],
        ["customer", "“customer” may be at most 200 long. Shorten it."],
    ]


def test_a_file_with_every_column_has_room_in_the_limits() -> None:
    """A declaration cannot outgrow the reader."""
    assert all(len(kind.columns) < 60 for kind in (UNITS, BUYERS))
