"""CSV files as spreadsheets, databases and people write them."""

import pytest

from prep.record.refusal import Refusal
from reports.imports.headers import recognizes
from reports.imports.kinds import UNITS
from reports.imports.reading.cells import Row
from reports.imports.reading.files import MOST_BYTES, open_table


def rows(content: bytes, name: str = "list.csv") -> list[list[object]]:
    """The cells of each row that is not empty."""
    table = open_table(content, name, lambda title: recognizes(UNITS, title))
    return [list(row.cells) for row in table.rows() if not row.empty]


def refused(content: bytes, name: str = "list.csv") -> Refusal:
    """The refusal of a file, when it is opened or read."""
    with pytest.raises(Refusal) as caught:
        rows(content, name)
    return caught.value


TEXT = "Manufacturer{0}Serial number{0}Location\r\nÉtrier & Fils{0}00017{0}Row C, bay 4\r\n"
READ = [["Manufacturer", "Serial number", "Location"], ["Étrier & Fils", "00017", "Row C, bay 4"]]


@pytest.mark.parametrize("separator", [";", "\t"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "windows-1252"]
)
def test_each_encoding_and_separator_is_read_as_it_was_written(
    encoding: str, separator: str
) -> None:
    """With a mark and without; a comma in a cell separates nothing."""
    assert rows(TEXT.format(separator).encode(encoding)) == READ


def test_a_comma_separates_where_the_titles_say_so() -> None:
    """The location holds semicolons, more of them than the row has commas."""
    content = b"Manufacturer,Serial number,Location\nLarkfield,1,a;b;c;d\n"
    assert rows(content)[1] == ["Larkfield", "1", "a;b;c;d"]


def test_a_separator_may_be_declared_in_the_first_line() -> None:
    """As spreadsheets write it; the line is counted all the same."""
    table = open_table(b"sep=;\r\nSerial;Make\r\n1;2\r\n", "a.csv", lambda title: False)
    assert list(table.rows()) == [Row(2, ["Serial", "Make"]), Row(3, ["1", "2"])]


def test_what_the_file_was_read_as_is_said() -> None:
    """Encoding and separator, so that a wrong guess can be seen."""
    notice = open_table(TEXT.format(";").encode("windows-1252"), "a.csv", lambda title: True)
    assert notice.notices[0].values == {"encoding": "WINDOWS-1252", "separator": ";"}


def test_quotes_line_ends_and_empty_lines_are_as_in_a_spreadsheet() -> None:
    """A cell of two lines is in one row, and rows are counted as the spreadsheet counts them."""
    content = b'Serial number,Note\r\n\r\n1,"left\r\n""bent"", scraped"\r\n,\r\n2,x\r\n'
    table = open_table(content, "a.csv", lambda title: True)
    assert [row for row in table.rows() if not row.empty] == [
        Row(1, ["Serial number", "Note"]),
        Row(3, ["1", 'left\r\n"bent", scraped']),
        Row(5, ["2", "x"]),
    ]


@pytest.mark.parametrize(
    ("content", "name", "code"),
    [
        (b'Serial number,Note\n1,"left\n2,right\n', "a.csv", "table-quotes"),
        (b'Serial number,Note\n1,"a"b\n', "a.csv", "table-quotes"),
        (b"Serial number\n" + b"x" * 30_000, "a.csv", "table-quotes"),
        (b"Serial number\n\x81\x8d", "a.csv", "table-encoding"),
        (b"\xff\xfeS\x00e\x00r\x00", "a.csv", ""),
        (b"\xff\xfeS\x00e\x00r", "a.csv", "table-encoding"),
        (b"%PDF-1.7 ...", "a.csv", "table-unreadable"),
        (b"\x89PNG\r\n", "a.csv", "table-unreadable"),
        (b"\xef\xbb\xbf <!DOCTYPE html><table>", "a.xls", "table-unreadable"),
        (b"<html><table><tr><td>1", "a.csv", "table-unreadable"),
        (b"Serial number\n1", "a.xlsx", "table-not-a-workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "a.xlsx", "table-locked"),
        (b"PK\x03\x04" + b"\0" * 50, "a.xlsx", "table-broken"),
        (b"x" * (MOST_BYTES + 1), "a.csv", "table-too-large"),
    ],
)
def test_what_is_no_table_is_refused_with_what_to_do(content: bytes, name: str, code: str) -> None:
    """By its bytes, whatever it is called."""
    if not code:
        assert rows(content, name)
    else:
        assert refused(content, name).code == code


def test_the_line_of_an_open_quotation_is_named() -> None:
    """Where it begins, not where the file ends."""
    content = b'Serial number,Note\n1,x\n2,"left\n3,y\n'
    assert refused(content).details == {"line": 3}
