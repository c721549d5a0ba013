"""Any file gives rows or problems, and the check finds what the run finds."""

import csv
from io import StringIO

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from prep.models import Unit
from prep.record.refusal import Refusal
from reports import imports
from reports.imports.files import opened
from reports.imports.kinds import IMPORTS
from reports.models import Import
from tests.cast import Yard
from tests.reports.imports.sent import problems, send

CELL = st.text(max_size=12) | st.sampled_from(
    ["Larkfield", "TC-12", "00017", "=1", "1.0", "#N/A", "2026-03-02", "wide tires", "540 rpm", "1"]
)
SHARED = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


def written(titles: list[str], rows: list[list[str]]) -> bytes:
    """A CSV file; a surrogate, which no file can hold, is left out of it."""
    made = StringIO(newline="")
    csv.writer(made).writerows([titles, *rows])
    return made.getvalue().encode("utf-8", "ignore")


@pytest.mark.django_db
@SHARED
@given(st.sampled_from(sorted(IMPORTS)), st.lists(st.lists(CELL, max_size=9), max_size=6))
def test_any_cells_are_rows_or_problems(kind: str, rows: list[list[str]]) -> None:
    """Under the titles of each kind."""
    chosen = IMPORTS[kind]
    titles = [column.name for column in chosen.columns]
    try:
        reader = opened(written(titles, rows), "a.csv", chosen, "north").reader
        prepared = [reader.prepared(row) for row in reader.rows()]
    except Refusal:
        return
    assert all(bool(one.problems) != bool(one.command) for one in prepared)


@pytest.mark.django_db
@SHARED
@given(st.binary(max_size=300), st.sampled_from(["a.csv", "a.xlsx", "", "a.txt"]))
def test_any_bytes_are_a_table_or_refused(content: bytes, name: str) -> None:
    """Also behind the beginning of a workbook."""
    for start in (b"", b"PK\x03\x04", b"\xff\xfe", b"Serial,Make\n"):
        try:
            list(opened(start + content, name, IMPORTS["units"], "north").reader.rows())
        except Refusal:
            continue


SERIAL = st.sampled_from(["TC1", "TC01", "TCO1", "TC0l", "TC8", "TCB", "1TC", "ITC", "00017", "17"])
MODEL = st.sampled_from(["TC-12", "", "TC-99"])
COMPARED = st.sampled_from(["", "TC01", "TCO1", "TC8;TCB"])


@SHARED
@given(st.lists(st.tuples(SERIAL, MODEL, COMPARED), min_size=1, max_size=8))
def test_what_the_check_finds_fit_is_what_the_run_makes(
    yard: Yard, rows: list[tuple[str, str, str]]
) -> None:
    """Rows that repeat, look alike or fail: the run refuses none that the check did not."""
    lines = [["Larkfield", *row] for row in rows]
    content = written(["maker", "serial", "model", "checked_against"], lines)
    before = Unit.objects.count()
    job = send(yard, content)
    checked, fit = problems(job), job.fit
    run = send(yard, content, run=True, skip_problems=True)
    assert problems(run) == checked
    assert (run.fit, run.made) == (fit, fit if fit or not checked else 0)
    assert Unit.objects.count() == before + fit
    again = send(yard, content, run=True, skip_problems=True)
    assert again.made == 0
    assert imports.imports_by(yard.otto).count() == Import.objects.count()
