"""Files as people send them, and sending them."""

from collections.abc import Callable, Sequence
from io import BytesIO
from typing import Any
from uuid import UUID, uuid4

import xlsxwriter

from prep.models import Person
from prep.record.stored_refusals import restored
from reports import imports, queue
from reports.models import Import, State
from tests.cast import Yard

SERIALS = "Manufacturer,Serial number,Model\r\n"


def workbook(
    rows: Sequence[Sequence[Any]], edit: Callable[[Any, Any], None] = lambda book, sheet: None
) -> bytes:
    """A workbook with these rows in its first sheet: texts as texts, numbers as numbers.

    `edit` may do what else people do to a workbook.
    """
    made = BytesIO()
    options = {"strings_to_formulas": False, "strings_to_urls": False, "in_memory": True}
    book = xlsxwriter.Workbook(made, options)
    sheet = book.add_worksheet("Units")
    for line, row in enumerate(rows):
        for place, cell in enumerate(row):
            if isinstance(cell, str):
                sheet.write_string(line, place, cell)
            else:
                sheet.write(line, place, cell)
    edit(book, sheet)
    book.close()
    return made.getvalue()


def units(*serials: str, model: str = "TC-12") -> bytes:
    """A CSV file of units of the test's manufacturer."""
    return (SERIALS + "".join(f"Larkfield,{one},{model}\r\n" for one in serials)).encode()


def send(
    yard: Yard,
    content: bytes,
    *,
    kind: str = "units",
    name: str = "list.csv",
    actor: Person | None = None,
    command: UUID | None = None,
    **more: Any,
) -> Import:
    """Otto sends a file; the worker has done what it can do."""
    chosen = imports.import_kind(kind)
    job = imports.accept(
        actor=actor or yard.otto,
        kind=kind,
        content=content,
        name=name,
        command=command or uuid4(),
        site=more.pop("site", yard.site if chosen.of_site else ""),
        **more,
    )
    work(job)
    return job


def work(job: Import) -> None:
    """The worker does what it can do."""
    queue.run_due()
    job.refresh_from_db()


def problems(job: Import) -> list[tuple[int, int, str]]:
    """Line, column and code of each problem."""
    return [(one.line, one.column, restored(one.refusal).code) for one in imports.problems_of(job)]


def done(job: Import) -> bool:
    """Whether it is done."""
    return bool(job.state == State.DONE)
