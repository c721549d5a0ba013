"""What a cell means: as it is, or refused where a spreadsheet may have changed it."""

from datetime import date, datetime, time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Cell, ErrorValue, Formula
from reports.imports.reading.values import CellKind, read_value

CODE, TEXT, LONG, DATA = CellKind.CODE, CellKind.TEXT, CellKind.LONG, CellKind.DATA


@pytest.mark.parametrize(
    ("kind", "cell", "value"),
    [
        (CODE, "00017", "00017"),
        (CODE, " \u00a0TC\u00a000017\u200b ", "TC 00017"),
        (CODE, "TC-5/7·é", "TC-5/7·é"),
        (CODE, "12.50", "12.50"),
        (CODE, "2E", "2E"),
        (CODE, "   ", None),
        (CellKind.CODES, "wide tires, thousand rpm;", ("wide tires", "thousand rpm")),
        (TEXT, "+1 605 555 0100", "+1 605 555 0100"),
        (TEXT, "- bent", "- bent"),
        (TEXT, "@ the gate", "@ the gate"),
        (LONG, "one\r\ntwo\rthree", "one\ntwo\nthree"),
        (CellKind.WHOLE, "2", 2),
        (CellKind.WHOLE, 2.0, 2),
        (CellKind.DAY, "2026-03-02", "2026-03-02"),
        (CellKind.DAY, date(2026, 3, 2), "2026-03-02"),
        (CellKind.DAY, datetime(2026, 3, 2), "2026-03-02"),
        (DATA, "540 rpm", "540 rpm"),
        (DATA, "-20 °C", "-20 °C"),
        (DATA, "0.83", "0.83"),
        (DATA, "6", 6),
        (DATA, 6.0, 6),
        (DATA, "007", "007"),
        (DATA, "yes", True),
        (DATA, False, False),
        (DATA, "14 in; 16 in", ["14 in", "16 in"]),
        (DATA, "3 in;", ["3 in"]),
        (DATA, "ISO 7241-A, 1/2 in", "ISO 7241-A, 1/2 in"),
    ],
)
def test_a_plain_cell_is_what_it_says(kind: CellKind, cell: Cell, value: Any) -> None:
    """Leading zeros, signs and spaces within; spaces nobody sees at the ends are not part of it."""
    assert read_value(kind, cell) == value


@pytest.mark.parametrize(
    ("kind", "cell", "code"),
    [
        (CODE, 17.0, "cell-number-for-text"),
        (CODE, 17, "cell-number-for-text"),
        (TEXT, 6055550100.0, "cell-number-for-text"),
        (CODE, date(2026, 3, 26), "cell-date-for-text"),
        (TEXT, time(8, 15), "cell-date-for-text"),
        (CODE, True, "cell-not-text"),
        (CODE, "1.23E+05", "cell-exponent"),
        (CODE, "1,23457E+11", "cell-exponent"),
        (CODE, "12345.0", "cell-float"),
        (CODE, "12345,00", "cell-float"),
        (CODE, '="00017"', "cell-like-formula"),
        (CODE, "+5", "cell-like-formula"),
        (CODE, "-5", "cell-like-formula"),
        (CODE, "@SUM(A1)", "cell-like-formula"),
        (TEXT, "=HYPERLINK(1)", "cell-like-formula"),
        (DATA, "=A1*2", "cell-like-formula"),
        (CODE, "TС00017", "cell-foreign-letter"),  # the second letter is Cyrillic
        (CODE, "TC０017", "cell-foreign-letter"),
        (CODE, "TC\u200b17", "cell-invisible-character"),
        (CODE, "TC\u00ad17", "cell-invisible-character"),
        (TEXT, "a\x00b", "cell-control-character"),
        (LONG, "a\x1bb", "cell-control-character"),
        (CODE, "TC\n17", "cell-several-lines"),
        (TEXT, "a\tb", "cell-several-lines"),
        (CODE, "#N/A", "cell-error"),
        (TEXT, "#REF!", "cell-error"),
        (TEXT, "#####", "cell-error"),
        (TEXT, ErrorValue("#DIV/0!"), "cell-error"),
        (LONG, Formula(), "cell-formula"),
        (CellKind.WHOLE, "2.0", "cell-not-whole"),
        (CellKind.WHOLE, "two", "cell-not-whole"),
        (CellKind.WHOLE, 2.5, "cell-not-whole"),
        (CellKind.WHOLE, True, "cell-not-whole"),
        (CellKind.WHOLE, date(2026, 3, 2), "cell-not-whole"),
        (CellKind.DAY, "3/2/2026", "day-unclear"),
        (CellKind.DAY, "2026-02-30", "day-unclear"),
        (CellKind.DAY, 46083.0, "cell-number-for-day"),
        (CellKind.DAY, datetime(2026, 3, 2, 13, 4), "cell-time-for-day"),
        (DATA, "12,5 in", "cell-decimal-comma"),
        (DATA, "1,250 kg", "cell-decimal-comma"),
        (DATA, 12.5, "cell-number-without-unit"),
        (DATA, date(2026, 12, 5), "cell-date-for-text"),
        (DATA, "5E+03", "cell-exponent"),
    ],
)
def test_what_a_spreadsheet_may_have_changed_is_refused(
    kind: CellKind, cell: Cell, code: str
) -> None:
    """It cannot be told from what was meant, so nothing is turned back by guessing."""
    with pytest.raises(Refusal) as caught:
        read_value(kind, cell)
    assert caught.value.code == code


@given(
    st.sampled_from(CellKind),
    st.text(max_size=30)
    | st.floats()
    | st.integers()
    | st.booleans()
    | st.dates()
    | st.datetimes()
    | st.times()
    | st.timedeltas(),
)
def test_any_cell_is_a_value_or_a_refusal(kind: CellKind, cell: Cell) -> None:
    """Infinities, surrogates and times included."""
    try:
        read_value(kind, cell)
    except Refusal:
        return
