"""Worker of the imports: checks the rows of a file, then gives their commands, a slice at a time.

Each row is a command of its own with an id that follows from the import and the line, so that
whatever a killed worker had done is done once: the next one begins with the first row that is not
known to be done, and `perform` answers a repeated command with its first outcome. After a slice the
import goes back to the end of the queue, so that a long one keeps nobody waiting for a label.
"""

import time
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Final
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.rehearse import rehearse
from prep.actions.submission import Submission
from prep.models import Person
from prep.queries.tokens import access_by
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.stored_refusals import stored
from reports import queue
from reports.imports.clashes import Clashes
from reports.imports.files import opened
from reports.imports.kinds import import_kind
from reports.imports.rows import Prepared, Problem, RowReader
from reports.models import Import, ImportProblem, Stage, State

SLICE = timedelta(seconds=5)
BATCH: Final = 50  # rows after which progress is stored
WAIT: Final = 0.2  # seconds between looks at an import another worker has
DEVICE: Final = "import"
STORED: Final = ("next_line", "steps_done", "fit", "made", "tries", "failure")
RELEASED: Final = {"worker": None, "lease_until": None, "tries": 0}


@dataclass
class _Progress:
    """How far a slice is. The counts are of the whole stage."""

    job: Import
    ends: float = 0.0
    rows: int = 0
    problems: list[Problem] = field(default_factory=list)

    def row_done(self, line: int) -> None:
        """One more row; stores progress after each batch."""
        self.job.steps_done += 1
        self.job.next_line = line + 1
        self.rows += 1
        if self.rows == 1:  # finding the first row again takes time, too, and is no progress
            self.ends = time.monotonic() + SLICE.total_seconds()
        if self.rows % BATCH == 0 or self.over:
            self.store()

    @property
    def over(self) -> bool:
        """Whether it is time to let others work."""
        return self.rows > 0 and time.monotonic() > self.ends

    def store(self, **more: object) -> None:
        """Store progress and problems together, and renew the claim."""
        job = self.job
        if self.rows:  # only a row that fails again and again uses up the tries
            job.tries, job.failure = 1, ""
        progress = {name: getattr(job, name) for name in STORED}
        with transaction.atomic():
            queue.renew(job, **{**progress, **more})
            ImportProblem.objects.bulk_create([_row_of(job, one) for one in self.problems])
        self.problems = []


def due() -> tuple[QuerySet[Import], QuerySet[Import]]:
    """Imports a worker may claim now: those not heard of for a lease, then those that wait."""
    now = timezone.now()
    first = Import.objects.order_by("due")
    silent = first.filter(state=State.WORKING, lease_until__lt=now)
    return silent, first.filter(state=State.WAITING, due__lte=now)


def row_command(job: UUID, line: int) -> UUID:
    """Id of the command of a row."""
    return uuid5(job, str(line))


def work_until_done(job: Import) -> None:
    """Work on one import in this process, beside whatever workers there are, until it rests."""
    job.refresh_from_db()
    while job.state in queue.UNFINISHED:
        claimed = queue.claim([jobs.filter(pk=job.pk) for jobs in due()], _leave)
        if claimed is None:
            time.sleep(WAIT)
        else:
            queue.attempt(claimed, carry_out, _leave)
        job.refresh_from_db()


def carry_out(job: Import) -> None:
    """Work on an import for a slice, and put it back in the queue where more is left."""
    assert job.content is not None  # kept until the import is done
    file = opened(bytes(job.content), job.name, import_kind(job.kind), job.site_id or "")
    progress = _Progress(job)
    through = _check if job.stage == Stage.CHECK else _run
    if through(job, file.reader, progress):
        _finish(job, progress)
    else:
        progress.store(state=State.WAITING, due=timezone.now(), **RELEASED)


def _check(job: Import, reader: RowReader, progress: _Progress) -> bool:
    """Check the rows that were not checked yet; False where the slice ended before the file."""
    clashes = Clashes(import_kind(job.kind))
    faulty = _faulty_lines(job)
    for row in reader.rows():
        if progress.over:
            return False
        prepared = reader.prepared(row)
        if row.line < job.next_line:
            if prepared.command and row.line not in faulty:
                clashes.add(row.line, prepared.command)
            continue
        problems = _checked(job, reader, prepared, clashes)
        progress.problems += problems
        job.fit += not problems
        progress.row_done(row.line)
    return True


def _checked(
    job: Import, reader: RowReader, prepared: Prepared, clashes: Clashes
) -> tuple[Problem, ...]:
    """The problems of a row: its own, with other rows, and with what is on record."""
    command, line = prepared.command, prepared.line
    if command is None:
        return prepared.problems
    try:
        if lacking := reader.lacking(command):
            raise Refusal("row-drops", names=lacking)
        clashes.check(command)
        rehearse(command, actor=_sender(job), submission=_submission(job, line))
    except Refusal as no:
        return reader.problems(line, no)
    clashes.add(line, command)
    return ()


def _run(job: Import, reader: RowReader, progress: _Progress) -> bool:
    """Carry out the rows without problems; False where the slice ended before the file."""
    faulty = _faulty_lines(job)
    for row in reader.rows():
        if progress.over:
            return False
        if row.line < job.next_line:
            continue
        if row.line not in faulty:
            progress.problems += _carried_out(job, reader, reader.prepared(row))
        progress.row_done(row.line)
    return True


def _carried_out(job: Import, reader: RowReader, prepared: Prepared) -> tuple[Problem, ...]:
    """Give the command of a row; its problems where the state has changed since the check."""
    command, line = prepared.command, prepared.line
    if command is None:
        return prepared.problems
    try:
        _perform(command, job, line)
    except Refusal as no:
        return reader.problems(line, no)
    job.made += 1
    return ()


def _perform(command: Command, job: Import, line: int) -> None:
    perform(command, actor=_sender(job), submission=_submission(job, line))


def _sender(job: Import) -> Person:
    """Whoever sent it, narrowed to what the token of their program is for."""
    if job.token:
        job.person.access = access_by(job.token)
    return job.person


def _submission(job: Import, line: int) -> Submission:
    return Submission(row_command(job.pk, line), device=DEVICE)


def _finish(job: Import, progress: _Progress) -> None:
    """End a stage: go on from the check to the run where that was asked for, else be done."""
    job.failure = ""
    if job.stage == Stage.RUN:
        progress.store(state=State.DONE, finished=timezone.now(), content=None, **RELEASED)
        return
    progress.store()
    clear = job.skip_problems or not job.problems.exists()
    if job.run and clear:
        job.next_line = job.steps_done = 0
        progress.store(state=State.WAITING, stage=Stage.RUN, due=timezone.now(), **RELEASED)
    else:
        progress.store(state=State.DONE, finished=timezone.now(), **RELEASED)


def _faulty_lines(job: Import) -> set[int]:
    return set(job.problems.values_list("line", flat=True))


def _row_of(job: Import, problem: Problem) -> ImportProblem:
    return ImportProblem(
        of=job,
        line=problem.line,
        column=problem.column,
        header=problem.header,
        refusal=stored(problem.refusal),
    )


def _claim() -> Import | None:
    return queue.claim(due(), _leave)


def _leave(job: Import) -> None:
    """Nothing lies about that tries have left behind."""


WORK: Final = queue.Work(due, _claim, carry_out, _leave)
