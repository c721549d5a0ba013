"""Claims of workers on jobs: taken by a conditional update, kept by a lease, lost to another.

Any table of jobs can be worked on this way. A worker that is killed leaves its claim to run out;
the job is then claimed again, until its tries are used up.
"""

import logging
import time
from collections.abc import Callable, Iterable
from datetime import timedelta
from typing import Any, Final, NamedTuple, TypeVar
from uuid import uuid4

from django.db import InterfaceError, OperationalError, connection, transaction
from django.db.models import QuerySet
from django.utils import timezone

from prep.record.refusal import Refusal
from prep.verify.findings import Stopped
from reports.document_kind import Progress
from reports.models import Job, State
from reports.queue.failures import of_exception, of_refusal, of_silence

log = logging.getLogger(__name__)

LEASE = timedelta(minutes=3)  # a worker silent for longer counts as dead
TRIES: Final = 5
FIRST_WAIT: Final = timedelta(seconds=10)  # before the second try; six times as long each time

J = TypeVar("J", bound=Job)


class ClaimLost(Stopped):
    """The job was cancelled, or another worker took it over; what was made of it is dropped."""


class Work(NamedTuple):
    """A kind of work: the jobs that may be claimed now, how to claim and to do one.

    `left` removes what tries have left behind, once there will be no other.
    """

    due: Callable[[], Iterable[QuerySet[Any]]]
    claim: Callable[[], Job | None]
    carry_out: Callable[[Any], None]
    left: Callable[[Any], None]


def claim(due: Iterable[QuerySet[J]], left: Callable[[J], None]) -> J | None:
    """Claim the first job that is due; None where none is."""
    for claimable in due:
        while claimable.exists():  # first: a transaction would take SQLite's write lock for nothing
            with transaction.atomic():
                # Other workers pass over a locked row; SQLite has locked the whole database.
                job = claimable.select_for_update(skip_locked=True, of=("self",)).first()
                if job is None:
                    break
                if job.tries >= TRIES:
                    _give_up(job)
                    left(job)
                elif _take(job):
                    return job
    return None


def attempt(job: J, carry_out: Callable[[J], None], left: Callable[[J], None]) -> None:
    """Do a claimed job; where it fails, keep why, and leave it to the next try."""
    try:
        carry_out(job)
    except ClaimLost:
        log.info("%s was cancelled or taken over", job)
    except Refusal as refused:
        _failed(job, of_refusal(refused), left, for_good=True)
    except Exception as wrong:
        log.exception("%s failed", job)
        if isinstance(wrong, OperationalError | InterfaceError):
            connection.close()  # the failure is written over a new one; this one may be broken
        _failed(job, of_exception(wrong), left, for_good=False)


def mine(job: J) -> QuerySet[J]:
    """The job's row as long as this worker's claim on it stands."""
    return rows(job).filter(worker=job.worker, state=State.WORKING)


def rows(job: J) -> QuerySet[J]:
    """The row of a job."""
    return type(job)._default_manager.filter(pk=job.pk)


def renew(job: Job, **more: Any) -> None:
    """Renew the claim, or give it up where `more` says so, and store progress with it."""
    if not mine(job).update(**{"lease_until": timezone.now() + LEASE, **more}):
        raise ClaimLost


def progress(job: Job) -> Progress:
    """Callback that stores progress and renews the claim, at most once a second."""
    reported = 0.0

    def report(done: int, total: int) -> None:
        nonlocal reported
        if time.monotonic() - reported >= 1:
            reported = time.monotonic()
            renew(job, steps_done=done, steps_total=total)

    return report


def again(jobs: QuerySet[J], *states: State) -> int:
    """Put jobs in one of these states back in the queue; returns how many."""
    stopped = jobs.filter(state__in=states)
    return stopped.update(state=State.WAITING, due=timezone.now(), tries=0, failure="")


def _take(job: Job) -> bool:
    """Put this worker's claim on the row, if the row is still as it was read."""
    as_read = rows(job).filter(state=job.state, worker=job.worker)
    if job.state == State.WORKING:  # claimed before, and not heard of since
        job.failure = of_silence()
    job.state, job.worker = State.WORKING, uuid4()
    job.tries += 1
    taken = as_read.update(
        state=State.WORKING,
        worker=job.worker,
        tries=job.tries,
        lease_until=timezone.now() + LEASE,
        failure=job.failure,
    )
    return bool(taken)


def _give_up(job: Job) -> None:
    rows(job).update(state=State.FAILED, worker=None, failure=of_silence())


@transaction.atomic
def _failed(job: J, why: str, left: Callable[[J], None], *, for_good: bool) -> None:
    last = for_good or job.tries >= TRIES
    kept = mine(job).update(
        state=State.FAILED if last else State.WAITING,
        failure=why,
        due=timezone.now() + FIRST_WAIT * 6 ** (job.tries - 1),
        worker=None,
        lease_until=None,
    )
    if kept and last:
        left(job)
