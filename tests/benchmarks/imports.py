"""A long list of units checked and received from a file, against the bare commands for as many.

    YARDPROOF_DATA=/an/empty/folder python -m tests.benchmarks.imports 10000

The folder is filled and left. Memory is that of the process at its highest, before and after the
import, so that a file that is not read row by row would show.
"""

import os
import resource
import sys
import time
from uuid import uuid4

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from django.core.management import call_command  # noqa: E402 - after django.setup()

from prep.actions.perform import perform  # noqa: E402
from prep.models import Unit  # noqa: E402
from prep.record.unit.commands.receiving import ReceiveUnit  # noqa: E402
from reports import imports  # noqa: E402
from reports.models import Import  # noqa: E402
from tests.cast import Yard, make_yard  # noqa: E402
from tests.reports.imports.sent import workbook  # noqa: E402


def bare(yard: Yard, count: int) -> None:
    """The commands, one after another."""
    for number in range(count):
        command = ReceiveUnit(
            site=yard.site, maker="Larkfield", serial=f"A{number:06}", model="TC-12"
        )
        perform(command, actor=yard.otto)


def imported(yard: Yard, content: bytes, name: str, *, run: bool) -> Import:
    """The same from a file."""
    job = imports.accept(
        actor=yard.otto,
        kind="units",
        content=content,
        name=name,
        command=uuid4(),
        site=yard.site,
        run=run,
    )
    imports.work_until_done(job)
    return job


def memory() -> int:
    """The most memory this process ever had, in MiB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def timed(title: str, work: object, base: float) -> float:
    """Print how long a work takes, its ratio to the base, and the memory after it."""
    assert callable(work)
    start = time.perf_counter()
    work()
    seconds = time.perf_counter() - start
    ratio = f"{seconds / base:.2f} ×" if base else ""
    print(f"{title:<40} {seconds:>8.1f} s {ratio:>8} {memory():>6} MiB", flush=True)
    return seconds


def main(count: int) -> None:
    """Print times, ratios and memory."""
    call_command("migrate", verbosity=0)
    yard = make_yard()
    titles = ["Manufacturer", "Serial number", "Model"]
    lists = {
        letter: [titles, *(["Larkfield", f"{letter}{n:06}", "TC-12"] for n in range(count))]
        for letter in "BC"
    }
    text = "".join(",".join(row) + "\r\n" for row in lists["B"]).encode()
    book = workbook(lists["C"])
    print(f"{count} units; CSV {len(text) // 1024} KiB, workbook {len(book) // 1024} KiB")
    base = timed("bare commands", lambda: bare(yard, count), 0)
    timed("check of a CSV file", lambda: imported(yard, text, "a.csv", run=False), base)
    timed("check and run of a CSV file", lambda: imported(yard, text, "a.csv", run=True), base)
    timed("check and run of a workbook", lambda: imported(yard, book, "a.xlsx", run=True), base)
    assert Unit.objects.count() == 3 * count


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
