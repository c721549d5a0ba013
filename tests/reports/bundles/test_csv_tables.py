"""Tables that any program reads as they were written, and no spreadsheet computes."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.queries.records import record_of
from prep.words.reader import ENGLISH
from reports.bundles import columns, csv_format, csv_tables
from tests.cast import Yard
from tests.reports.sold_units import buyer_with_address, ready_for

text = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=40)


def written(header: list[str], lines: list[list[str]]) -> str:
    """A table as it goes into the file."""
    target = io.StringIO(newline="")
    csv_format.Table(target).add([header, *lines])
    return target.getvalue()


def read(table: str) -> list[list[str]]:
    """A table as another program reads it."""
    return list(csv.reader(io.StringIO(table, newline=""), strict=True))


def test_a_table_is_written_as_rfc_4180_says() -> None:
    """Lines end in CRLF; a comma, a quote or a line break puts quotes around (RFC 4180, 2)."""
    table = written(["serial", "text"], [["TC1", 'a "b", c'], ["TC2", "two\nlines"]])
    assert table == 'serial,text\r\nTC1,"a ""b"", c"\r\nTC2,"two\nlines"\r\n'


@pytest.mark.parametrize(
    "typed",
    [
        "=1+1",
        "+1+1",
        "-1+1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "  =HYPERLINK(1)",
        "＝1",
        "－1+cmd",
        "-",
        "=",
        "+49 123",
        "-1e",
    ],
)
def test_text_a_spreadsheet_would_compute_gets_an_apostrophe(typed: str) -> None:
    """The characters of the OWASP page on CSV injection, with the tricks around them."""
    assert csv_format.safe_cell(typed) == "'" + typed


@pytest.mark.parametrize("typed", ["-4.5", "+3", "-4,5", "1e-3", "-2E+10", "450 ft lb", "", "a=b"])
def test_numbers_and_ordinary_text_stay_as_they_are(typed: str) -> None:
    """A negative reading must still be a number."""
    assert csv_format.safe_cell(typed) == typed


@given(st.lists(st.lists(text, min_size=3, max_size=3), max_size=6))
def test_every_cell_comes_back_whatever_was_typed(lines: list[list[str]]) -> None:
    """Quotes, commas, breaks and any script; only the apostrophe is added."""
    found = read(written(["a", "b", "c"], lines))
    assert found == [
        ["a", "b", "c"],
        *([csv_format.safe_cell(cell) for cell in line] for line in lines),
    ]


@given(text)
def test_no_cell_begins_like_a_formula_unless_it_is_a_number(typed: str) -> None:
    """Whatever a person types."""
    cell = csv_format.safe_cell(typed)
    assert csv_format.NUMBER.fullmatch(cell) or not csv_format.FORMULA.match(cell)
    assert cell.removeprefix("'") == typed.removeprefix("'")


def test_a_superseded_reading_stays_in_the_table_with_the_reason(yard: Yard) -> None:
    """In the order of the sheet: 5 in no longer stands, 4 in does and says why."""
    unit = ready_for(yard, buyer_with_address(yard), photo=False)
    lines = [
        dict(zip(columns.READINGS, line, strict=True))
        for line in csv_tables.reading_rows(str(unit), record_of(unit), ENGLISH)
    ]
    assert [(line["step"], line["position"]) for line in lines] == [
        ("block", ""),
        ("blades", "left"),
        ("blades", "right"),
        ("pitch", ""),
        ("pitch", ""),
        ("pitch", ""),
        ("splines", ""),
        ("drawbar", ""),
    ]
    first, second = lines[3], lines[4]
    assert (first["as typed"], first["stands"]) == ("5 in", "no")
    assert (second["as typed"], second["stands"]) == ("4 in", "yes")
    assert (second["reason"], second["supersedes"]) == ("read at the wrong tip", first["entry"])
    assert (second["canonical value"], second["canonical unit"]) == ("101.6", "mm")
    assert (second["limit"], second["verdict"]) == ("3 in to 6 in", "conforming")
    assert lines[0]["as typed"] == "yes"
    assert lines[1]["instrument"] == "W-1"
    assert lines[1]["calibration due"] == "2027-01-10"


def test_every_signature_shows_name_moment_and_meaning(yard: Yard) -> None:
    """As 21 CFR 11.50 asks; one that no longer counts stays and says so."""
    unit = yard.prepared()
    yard.release(unit)
    lines = [
        dict(zip(columns.SIGN_OFFS, line, strict=True))
        for line in csv_tables.sign_off_rows(str(unit), record_of(unit), ENGLISH)
    ]
    assert [(line["step"], line["meaning"], line["name"]) for line in lines] == [
        ("block", "prepared", "Ada Invented"),
        ("blades", "prepared", "Ada Invented"),
        ("blades", "second person checked", "Ben Invented"),
        ("pitch", "prepared", "Ada Invented"),
        ("", "released", "Mira Invented"),
    ]
    assert all(line["happened"].endswith("Z") and line["stands"] == "yes" for line in lines)


def test_a_flag_tells_who_conceded_it_and_why(yard: Yard) -> None:
    """A reading outside its limit, released by concession."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "7 in")
    yard.concede(unit)
    (line,) = csv_tables.flag_rows(str(unit), record_of(unit), ENGLISH)
    flag = dict(zip(columns.FLAGS, line, strict=True))
    assert flag["flag"].startswith("Front tip height: 7 in is out of limit (nonconforming)")
    assert (flag["closed as"], flag["closed by"]) == ("concession", "Mira Invented")
    assert flag["concession"] == "Agreed with the maker (invented)."


def test_a_unit_has_one_line_that_says_how_it_stands(yard: Yard) -> None:
    """Released for stock, with its procedure and the number of its events."""
    unit = yard.prepared()
    yard.release(unit)
    record = record_of(unit)
    line = dict(zip(columns.UNITS, csv_tables.unit_row(str(unit), record), strict=True))
    assert line["state"] == "released-for-stock"
    assert (line["procedure"], line["revision"]) == ("TC-SETUP", "1")
    assert line["events"] == str(record.version)
    assert line["handed over"] == ""
