"""A queue of certificates made by two worker processes, and the same ones made without a queue.

    YARDPROOF_PROFILE=service … python -m tests.benchmarks.queue 1000

Needs PostgreSQL and Redis, as the service profile does; works in a database of its own, which it
removes. What the queue costs is told in processor time, which other work on the machine lengthens
less than it does the clock's.
"""

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from typing import Any, Final
from uuid import UUID, uuid4

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from django.conf import settings  # noqa: E402  # the models need the applications above
from django.db import connection  # noqa: E402

from prep.actions.index_rows import write_rows  # noqa: E402
from prep.models import Event, Unit, Unsealed  # noqa: E402
from prep.queries.records import record_of  # noqa: E402
from prep.record.log.envelope import leaf  # noqa: E402
from prep.record.unit.views.index_rows import rows  # noqa: E402
from reports import queue  # noqa: E402
from reports.certificate import document  # noqa: E402
from reports.models import DocumentRequest, State  # noqa: E402
from reports.queue import tasks  # noqa: E402
from tests.cast import make_yard  # noqa: E402
from tests.services import environment  # noqa: E402

REDIS: Final = settings.REDIS
MIB: Final = 1 << 10  # of kilobytes, in which Linux counts resident memory
TICKS: Final = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True)
class Cost:
    """What making the certificates took."""

    seconds: float
    processor: float
    peak: float


def released(count: int) -> None:
    """So many released units: one that was worked on, and copies of its entries."""
    yard = make_yard()
    unit = yard.ready()
    yard.release(unit)
    source = list(Event.objects.filter(stream_id=str(unit)).order_by("version"))
    row = Unit.objects.get(pk=unit)
    for number in range(1, count):
        _copy(source, row, number)


def _copy(source: list[Event], row: Unit, number: int) -> None:
    unit, copies = uuid4(), []
    commands: dict[UUID, UUID] = {}
    for event in source:
        command = commands.setdefault(event.command, uuid4())
        body = event.body.replace(str(event.command), str(command))
        body = body.replace(f'"{row.serial}"', f'"{row.serial}-{number}"')
        copy = Event(**{f.attname: getattr(event, f.attname) for f in Event._meta.concrete_fields})
        copy.pk, copy.stream_id, copy.command, copy.body = None, str(unit), command, body
        copy.leaf = leaf(copy.envelope()).hex()
        copies.append(copy)
    Unsealed.objects.bulk_create(Unsealed(event=e) for e in Event.objects.bulk_create(copies))
    copied = rows(record_of(unit))
    Unit(id=unit, site_id=row.site_id, **copied.unit).save(force_insert=True)
    write_rows(unit, row.site_id, None, copied)


def without_queue(where: Path) -> Cost:
    """Every certificate asked for, made one after the other and thrown away."""
    settings.KEYS, settings.MEDIA_ROOT = where / "keys", where / "files"
    before, start = getrusage(RUSAGE_SELF), time.perf_counter()
    for request in DocumentRequest.objects.order_by("created"):
        request.worker = uuid4()
        document.build(request, lambda done, total: None).path.unlink()
    spent = getrusage(RUSAGE_SELF)
    processor = spent.ru_utime + spent.ru_stime - before.ru_utime - before.ru_stime
    return Cost(time.perf_counter() - start, processor, spent.ru_maxrss / MIB)


def with_queue(where: Path, count: int) -> Cost:
    """The same by a worker of two processes, from the first word sent to the last one done."""
    command = ["celery", "-A", "prep.project", "worker", "--concurrency", "2", "-l", "warning"]
    log = (where / "worker.log").open("wb")
    worker = subprocess.Popen(command, env=environment(where, REDIS), stdout=log, stderr=log)
    try:
        while len(processes := _children(worker.pid)) < 2:
            time.sleep(0.1)
        time.sleep(3)  # until it listens
        start, before = time.perf_counter(), _processor([worker.pid, *processes])
        tasks.sweep.delay()
        while DocumentRequest.objects.filter(state=State.DONE).count() < count:
            time.sleep(0.2)
        seconds = time.perf_counter() - start
        processor = _processor([worker.pid, *processes]) - before
        return Cost(seconds, processor, max(_peak(process) for process in processes))
    finally:
        worker.terminate()
        worker.wait()
        log.close()


def _children(process: int) -> list[int]:
    return [int(p) for p in Path(f"/proc/{process}/task/{process}/children").read_text().split()]


def _processor(processes: list[int]) -> float:
    """Seconds of processor time of processes so far, user and system."""
    spent = 0
    for process in processes:
        fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
        spent += int(fields[11]) + int(fields[12])
    return spent / TICKS


def _peak(process: int) -> float:
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    [peak] = [line for line in lines if line.startswith("VmHWM")]
    return int(peak.split()[1]) / MIB


def compare(count: int, where: Path) -> None:
    """Print what both ways cost."""
    settings.KEYS, settings.MEDIA_ROOT = where / "keys", where / "files"
    settings.KEYS.mkdir()
    start = time.perf_counter()
    released(count)
    queue.catch_up()
    print(f"{count} certificates asked for, after {time.perf_counter() - start:.0f} s of releasing")
    connection.close()
    with get_context("fork").Pool(1) as pool:
        bare = pool.apply(without_queue, (where,))
    queued = with_queue(where, count)
    for name, cost in (("one process, no queue", bare), ("two worker processes", queued)):
        print(
            f"{name:<24}{cost.seconds:>8.1f} s {60 * count / cost.seconds:>8.0f} a minute, "
            f"processor {1e3 * cost.processor / count:.0f} ms each, peak {cost.peak:.0f} MiB"
        )
    print(
        f"the queue costs {queued.processor / bare.processor:.2f} × the processor time and takes "
        f"{queued.seconds / bare.seconds:.2f} × the time"
    )


def main() -> None:
    """Compare in a database that is removed afterwards."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    if not settings.SERVICE:
        sys.exit("Set YARDPROOF_PROFILE=service and its database and broker; see README.md.")
    before: Any = connection.settings_dict["NAME"]
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        with tempfile.TemporaryDirectory() as folder:
            compare(count, Path(folder))
    finally:
        connection.creation.destroy_test_db(before, verbosity=0)


if __name__ == "__main__":
    main()
