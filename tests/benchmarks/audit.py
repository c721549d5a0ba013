"""An audit bundle of many units, made and verified: seconds, and memory against a tenth of them.

    YARDPROOF_DATA=$(mktemp -d) python -m tests.benchmarks.audit 1000

Each bundle is made in a process of its own, so that its peak is its own.
"""

import hashlib
import os
import sys
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path
from time import perf_counter
from typing import Any
from uuid import uuid4

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()


def measured(work: Callable[[Any], Any], given: Any) -> tuple[Any, float, float]:
    """Result, seconds and peak memory in MiB of a piece of work in a process of its own."""
    with get_context("spawn").Pool(1) as pool:
        return pool.apply(_measure, (work, given))


def _measure(work: Callable[[Any], Any], given: Any) -> tuple[Any, float, float]:
    start = perf_counter()
    result = work(given)
    return result, perf_counter() - start, _peak()


def _peak() -> float:
    """Most memory this program has held, in MiB; getrusage would count its parent's as well."""
    status = Path("/proc/self/status").read_text()
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def fill(units: int) -> None:
    """The database, filled, and what a run that was broken off had asked for made."""
    from reports import queue
    from tests.benchmarks.many import dealership

    dealership(units)
    queue.run_due()


def make(units: list[str]) -> tuple[str, int]:
    """Make a bundle of units; its path and size in bytes."""
    from prep.models import Person
    from reports import queue

    ruth = Person.objects.get(username="ruth")
    asked = queue.ask(
        actor=ruth, kind="audit", command=uuid4(), parameters={"units": units, "files": False}
    )
    queue.run_due()
    asked.refresh_from_db()
    with queue.open_file(asked) as opened:
        return str(opened.name), asked.bytes


def hash_whole(path: str) -> str:
    """A bare SHA-256 pass over a bundle: what nobody who checks it can do without."""
    with open(path, "rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def check(path: str) -> int:
    """Verify a bundle as its receiver does; the exit code, 2 for a key that came with it."""
    from reports.bundles import verifier

    findings = verifier.Findings()
    verifier.check_bundle(Path(path), [], findings)
    return findings.exit_code


def main() -> None:
    """Print seconds, sizes and peaks, and the ratios between the two sizes."""
    from prep.models import Event

    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    _, seconds, _ = measured(fill, wanted)
    print(f"filled in {seconds:.0f} s")
    of_units = Event.objects.filter(stream="unit")
    units = sorted(set(of_units.values_list("stream_id", flat=True)))
    rows = []
    for chosen in (units[: wanted // 10], []):
        events = (of_units.filter(stream_id__in=chosen) if chosen else of_units).count()
        (path, size), made, peak = measured(make, chosen)
        code, checked, checking = measured(check, path)
        assert code == 2
        _, bare, _ = measured(hash_whole, path)
        count = len(chosen or units)
        rows.append((count, made, peak))
        print(
            f"{count:>6} units, {events:>8} entries, {size / 1e6:>7.1f} MB: made in "
            f"{made:.1f} s ({events / made:.0f} entries/s), peak {peak:.0f} MiB; verified in "
            f"{checked:.1f} s ({checked / bare:.0f} times a bare SHA-256 pass), "
            f"peak {checking:.0f} MiB"
        )
    few, many = rows
    print(
        f"{many[0] / few[0]:.1f} times the units: {many[1] / few[1]:.1f} times the time, "
        f"{many[2] / few[2]:.2f} times the memory"
    )


if __name__ == "__main__":
    main()
