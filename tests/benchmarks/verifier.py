"""Verify a bundle as its receiver does: seconds, against a bare SHA-256 pass, and memory.

    python -m tests.benchmarks.verifier 20000

The bundle holds so many readings of invented units, a hundred each; then a tenth of them, so that
what grows with their number shows. Each is checked in a process of its own. Needs no database.
"""

import hashlib
import sys
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any
from uuid import UUID

from reports.bundles import columns, verifier
from tests.reports.bundles import invented_log as invented

EACH = 100  # events of a unit


def made(folder: Path, count: int) -> Path:
    """An audit of `count` events."""
    units = [str(UUID(int=number)) for number in range(1, count // EACH + 1)]
    entries, readings, listed = [], [], []
    for unit in units:
        body = {"maker": "Larkfield", "serial": "TC00001", "model": invented.MODEL}
        entries.append(invented.event(1, "unit.received", body, unit))
        for version in range(2, EACH + 1):
            reading = {**invented.READING, "reading": f"{unit} {version}", "line": str(version)}
            kept = {**reading, "verdict": "no-limit"}
            entries.append(invented.event(version, "reading.taken", kept, unit))
            moment = invented.MOMENT % version
            readings.append(
                invented.READING_ROW
                | {"unit": unit, "line": str(version), "entry": f"{unit} {version}"}
                | {"happened": moment, "recorded": moment}
            )
        listed.append(invented.unit_row(EACH) | {"unit": unit})
    log = invented.Log(entries)
    payload = invented.contents(log, tuple(range(len(entries)))) | {
        "units.csv": invented.table(columns.UNITS, *listed),
        "readings.csv": invented.table(columns.READINGS, *readings),
    }
    streams = {("unit", unit): EACH for unit in units}
    return invented.bundle(folder, payload, log=log, streams=streams)


def measured(work: Callable[[str], Any], given: str) -> tuple[Any, float, float]:
    """Result, seconds and peak memory in MiB of a piece of work in a process of its own."""
    with get_context("spawn").Pool(1) as pool:
        return pool.apply(_measure, (work, given))


def _measure(work: Callable[[str], Any], given: str) -> tuple[Any, float, float]:
    start = perf_counter()
    result = work(given)
    seconds = perf_counter() - start
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return result, seconds, int(status.partition("VmHWM:")[2].split()[0]) / 1024


def check(path: str) -> int:
    """Verify a bundle as its receiver does; the exit code."""
    findings = verifier.Findings()
    verifier.check_bundle(Path(path), [invented.PUBLISHED], findings)
    return findings.exit_code


def hash_whole(path: str) -> str:
    """A bare SHA-256 pass over a bundle: what nobody who checks it can do without."""
    with Path(path).open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def main() -> None:
    """Print a line for a tenth of the events and one for all of them."""
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    for count in (wanted // 10, wanted):
        with TemporaryDirectory() as folder:
            path = str(made(Path(folder), count))
            size = Path(path).stat().st_size / 1e6
            code, seconds, peak = measured(check, path)
            _, bare, _ = measured(hash_whole, path)
        assert code == 0
        print(
            f"{count:>8} events, {size:>7.1f} MB: verified in {seconds:.2f} s "
            f"({count / seconds:.0f} events/s, {seconds / bare:.0f} times a bare SHA-256 pass), "
            f"peak {peak:.0f} MiB"
        )


if __name__ == "__main__":
    main()
