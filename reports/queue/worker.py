"""Worker of the queue: reads the log for new causes, and makes the requested documents.

A request is claimed by a conditional update, built to a temporary file, published by one move,
and finished in one transaction with the event that records it. Killed anywhere, the claim runs
out, the request is claimed again, and what the dead worker left behind is removed.
"""

import logging
import time
from datetime import timedelta
from typing import Any, Final
from uuid import UUID, uuid4

from django.db import InterfaceError, OperationalError, connection, transaction
from django.db.models import Exists, F, OuterRef, QuerySet
from django.utils import timezone

from prep.actions import documents, sealing
from prep.models import Event
from prep.queries import log as sealed_log
from prep.record.refusal import Refusal
from prep.record.unit import events as e
from prep.record.unit.commands.documents import IssueDocument
from prep.verify.findings import Stopped
from reports.document_kind import BuiltFile, Progress
from reports.models import Cursor, DocumentRequest, State
from reports.queue import publishing
from reports.queue.failures import of_exception, of_refusal, of_silence
from reports.registry import MADE_ON, RETRIED_ON, kind_named

log = logging.getLogger(__name__)

LEASE = timedelta(minutes=3)  # a worker silent for longer counts as dead
TRIES: Final = 5
FIRST_WAIT: Final = timedelta(seconds=10)  # before the second try; six times as long each time
PAGE: Final = 500
CONSUMER: Final = "documents"
UNFINISHED: Final = (State.WAITING, State.WORKING)


class ClaimLost(Stopped):
    """The request was cancelled, or another worker took it over; what was built is dropped."""


def catch_up() -> int:
    """Seal the log and turn what is new in it into requests; returns how many there are to make.

    Two at once do no harm: a request is made once, and the cursor only moves forward.
    """
    sealing.seal()
    cursor, _ = Cursor.objects.get_or_create(consumer=CONSUMER)
    read, made = cursor.read, 0
    while entries := sealed_log.after(read, PAGE):
        for entry in entries:
            made += _caused_by(entry.event)
        read = entries[-1].position + 1
        Cursor.objects.filter(consumer=CONSUMER, read__lt=read).update(read=read)
    return made


def _caused_by(event: Event) -> int:
    """Create or retry the requests an event calls for; returns how many."""
    if event.kind in MADE_ON:
        made_on = MADE_ON[event.kind]
        cause = made_on.cause_of(e.decode(event.body))
        return create(kind=made_on.document, cause=cause, unit=event.stream_id)[1]
    if event.kind in RETRIED_ON:
        kinds = RETRIED_ON[event.kind]
        requests = DocumentRequest.objects.filter(unit=UUID(event.stream_id), kind__in=kinds)
        return again(requests, State.FAILED)
    return 0


def again(requests: QuerySet[DocumentRequest], *states: State) -> int:
    """Put requests in one of these states back in the queue; returns how many."""
    stopped = requests.filter(state__in=states)
    return stopped.update(state=State.WAITING, due=timezone.now(), tries=0, failure="")


def create(*, kind: str, cause: str, **more: Any) -> tuple[DocumentRequest, bool]:
    """Get or create the request for a kind and cause; returns it and whether it is new."""
    more["unit_id"] = more.pop("unit", None)
    return DocumentRequest.objects.get_or_create(kind=kind, cause=cause, defaults=more)


def due() -> tuple[QuerySet[DocumentRequest], QuerySet[DocumentRequest]]:
    """Requests a worker may claim now: those not heard of for a lease, then those that wait.

    Documents of one kind for one unit are made in the order they were asked for, so that a
    correction finds what it corrects. Two queries, each in the order of an index: one for both
    would sort the whole queue at every claim.
    """
    now = timezone.now()
    earlier = DocumentRequest.objects.filter(
        unit=OuterRef("unit"),
        kind=OuterRef("kind"),
        created__lt=OuterRef("created"),
        state__in=UNFINISHED,
    )
    first = DocumentRequest.objects.filter(~Exists(earlier)).order_by("due")
    silent = first.filter(state=State.WORKING, lease_until__lt=now)
    return silent, first.filter(state=State.WAITING, due__lte=now)


def count_due(most: int) -> int:
    """Number of due requests, counted up to `most`."""
    return min(most, sum(len(claimable.values_list("pk")[:most]) for claimable in due()))


def run_due() -> int:
    """Make every due document; returns how many requests were tried."""
    attempts = 0
    while run_one():
        attempts += 1
    return attempts


def run_one() -> bool:
    """Claim one due request and make its document; False where none is due."""
    request = _claim()
    if request is None:
        return False
    try:
        _make(request)
    except ClaimLost:
        log.info("%s was cancelled or taken over", request)
    except Refusal as refused:
        _failed(request, of_refusal(refused), for_good=True)
    except Exception as wrong:
        log.exception("%s failed", request)
        if isinstance(wrong, OperationalError | InterfaceError):
            connection.close()  # the failure is written over a new one; this one may be broken
        _failed(request, of_exception(wrong), for_good=False)
    return True


def _claim() -> DocumentRequest | None:
    for claimable in due():
        while claimable.exists():  # first: a transaction would take SQLite's write lock for nothing
            with transaction.atomic():
                # Other workers pass over a locked row; SQLite has locked the whole database.
                request = claimable.select_for_update(skip_locked=True, of=("self",)).first()
                if request is None:
                    break
                if request.tries >= TRIES:
                    _give_up(request)
                elif _take(request):
                    return request
    return None


def _take(request: DocumentRequest) -> bool:
    """Put this worker's claim on the row, if the row is still as it was read."""
    as_read = DocumentRequest.objects.filter(
        pk=request.pk, state=request.state, worker=request.worker
    )
    if request.state == State.WORKING:  # claimed before, and not heard of since
        request.failure = of_silence()
    request.state, request.worker = State.WORKING, uuid4()
    request.tries += 1
    taken = as_read.update(
        state=State.WORKING,
        worker=request.worker,
        tries=request.tries,
        lease_until=timezone.now() + LEASE,
        steps_done=0,
        steps_total=0,
        failure=request.failure,
    )
    return bool(taken)


def _give_up(request: DocumentRequest) -> None:
    DocumentRequest.objects.filter(pk=request.pk).update(
        state=State.FAILED, worker=None, failure=of_silence()
    )
    publishing.tidy(request)


def _mine(request: DocumentRequest) -> QuerySet[DocumentRequest]:
    """The request's row as long as this worker's claim on it stands."""
    return DocumentRequest.objects.filter(pk=request.pk, worker=request.worker, state=State.WORKING)


def _make(request: DocumentRequest) -> None:
    request.replaces = _replaced(request)
    try:
        built = kind_named(request.kind).build(request, _progress(request))
        digest, size = publishing.measure(built.path)
        _renew(request)  # from here to the end takes far less than a lease
        file = publishing.publish(request, built)
    finally:
        publishing.drop(request)
    try:
        _finish(request, built, file, digest, size)
    except (ClaimLost, Refusal):
        publishing.withdraw(file)
        raise


def _replaced(request: DocumentRequest) -> DocumentRequest | None:
    """The document whose place this one takes: the newest before it in its line of succession."""
    kind = kind_named(request.kind)
    if request.unit_id is None or not kind.replaces_earlier:
        return None
    earlier = DocumentRequest.objects.filter(
        unit=request.unit_id, kind=request.kind, state=State.DONE, created__lt=request.created
    )
    line = kind.succession(request.cause)
    newest_first = earlier.order_by("-created")
    return next((one for one in newest_first if kind.succession(one.cause) == line), None)


def _finish(request: DocumentRequest, built: BuiltFile, file: str, digest: str, size: int) -> None:
    """Mark a request done and record the event of it, in one transaction."""
    with transaction.atomic():
        finished = _mine(request).update(
            state=State.DONE,
            worker=None,
            lease_until=None,
            failure="",
            steps_done=F("steps_total"),
            file=file,
            name=built.name,
            media_type=built.media_type,
            digest=digest,
            bytes=size,
            number=built.number,
            replaces=request.replaces,
            finished=timezone.now(),
        )
        if not finished:
            raise ClaimLost
        # Here, because the row is locked and this worker's: a file that is not its own belongs to
        # a dead or beaten one, and if this one dies now the next try finds nothing it needs gone.
        publishing.tidy(request, keep=file)
        document = IssueDocument(
            document=str(request.pk),
            kind=request.kind,
            number=built.number,
            digest=digest,
            size=size,
            cause=str(request.cause),
            replaces=str(request.replaces_id or ""),
        )
        documents.issue(document, request.unit_id)


def _progress(request: DocumentRequest) -> Progress:
    """Callback that stores a builder's progress and renews the claim, at most once a second."""
    reported = 0.0

    def report(done: int, total: int) -> None:
        nonlocal reported
        if time.monotonic() - reported >= 1:
            reported = time.monotonic()
            _renew(request, steps_done=done, steps_total=total)

    return report


def _renew(request: DocumentRequest, **more: int) -> None:
    if not _mine(request).update(lease_until=timezone.now() + LEASE, **more):
        raise ClaimLost


@transaction.atomic
def _failed(request: DocumentRequest, why: str, *, for_good: bool) -> None:
    last = for_good or request.tries >= TRIES
    mine = _mine(request).update(
        state=State.FAILED if last else State.WAITING,
        failure=why,
        due=timezone.now() + FIRST_WAIT * 6 ** (request.tries - 1),
        worker=None,
        lease_until=None,
    )
    if mine and last:
        publishing.tidy(request)
