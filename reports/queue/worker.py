"""Worker of the queue: reads the log for new causes, and makes the requested documents.

A request is claimed by a conditional update, built to a temporary file, published by one move,
and finished in one transaction with the event that records it. Killed anywhere, the claim runs
out, the request is claimed again, and what the dead worker left behind is removed.
"""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.db.models import Exists, F, OuterRef, QuerySet
from django.utils import timezone

from prep.actions import documents, sealing
from prep.models import Event
from prep.queries import log as sealed_log
from prep.queries.records import fold_history, history
from prep.record.refusal import Refusal
from prep.record.unit import events as e
from prep.record.unit.commands.documents import IssueDocument
from reports import holdings
from reports.document_kind import BuiltFile, Correction
from reports.models import Cursor, DocumentRequest, State
from reports.queue import publishing
from reports.queue.claims import ClaimLost, Work, again, attempt, claim, mine, progress, renew
from reports.queue.erasure import ERASURES, erased_by
from reports.registry import KINDS, MADE_ON, PLATE_CORRECTED, RETRIED_ON, kind_named

PAGE: Final = 500
CONSUMER: Final = "documents"
UNFINISHED: Final = (State.WAITING, State.WORKING)


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
    if event.kind in ERASURES:
        erased_by(event)
        return 0
    if event.kind == PLATE_CORRECTED:
        return _corrected(event) + _retried(event)
    if event.kind in MADE_ON:
        made_on = MADE_ON[event.kind]
        cause = made_on.cause_of(e.decode(event.body))
        return create(kind=made_on.document, cause=cause, unit=event.stream_id)[1]
    return _retried(event) if event.kind in RETRIED_ON else 0


def _retried(event: Event) -> int:
    """Retry the failed requests that an event may have added to what they lacked."""
    kinds = RETRIED_ON[event.kind]
    requests = DocumentRequest.objects.filter(unit=UUID(event.stream_id), kind__in=kinds)
    return again(requests, State.FAILED)


def _corrected(event: Event) -> int:
    """Request again what was made with a misread plate; returns how many are new."""
    wanted = corrected_by(event)
    return sum(create(kind=kind, unit=UUID(event.stream_id), **more)[1] for kind, more in wanted)


def corrected_by(event: Event) -> list[tuple[str, dict[str, Any]]]:
    """The documents that the correction of a unit's plate calls for: kind, cause, parameters."""
    unit, position = UUID(event.stream_id), sealed_log.position_of(event.pk)
    assert position is not None  # the queue reads sealed entries only
    record = fold_history(history(unit, version=event.version))
    correction = Correction(unit, record, position)
    return [
        (kind.name, {"cause": accepted.cause, "parameters": accepted.parameters})
        for kind in KINDS.values()
        for accepted in kind.corrected(correction)
    ]


def create(*, kind: str, cause: str, **more: Any) -> tuple[DocumentRequest, bool]:
    """Get or create the request for a kind and cause; returns it and whether it is new."""
    more["unit_id"] = more.pop("unit", None)
    return DocumentRequest.objects.get_or_create(kind=kind, cause=cause, edition=0, defaults=more)


def find() -> None:
    """Find work that no event calls for, such as what is due on a new day."""
    for finder in FINDERS:
        finder()


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
    """Number of due jobs of every kind, counted up to `most`."""
    claimable = (jobs for work in WORK for jobs in work.due())
    return min(most, sum(len(jobs.values_list("pk")[:most]) for jobs in claimable))


def run_due() -> int:
    """Do everything that is due; returns how many jobs were tried."""
    attempts = 0
    while run_one():
        attempts += 1
    return attempts


def run_one() -> bool:
    """Claim one due job and do it; False where none is due."""
    for work in WORK:
        job = work.claim()
        if job is not None:
            attempt(job, work.carry_out, work.left)
            return True
    return False


def _claim() -> DocumentRequest | None:
    return claim(due(), publishing.tidy)


def _make(request: DocumentRequest) -> None:
    renew(request, steps_done=0, steps_total=0)  # a document is begun anew at each try
    if not request.instead:
        request.replaces = _replaced(request)
    try:
        built = kind_named(request.kind).build(request, progress(request))
        digest, size = publishing.measure(built.path)
        renew(request)  # from here to the end takes far less than a lease
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
        finished = mine(request).update(
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
        holdings.keep(request, built.holds)
        document = IssueDocument(
            document=str(request.pk),
            kind=request.kind,
            number=built.number,
            digest=digest,
            size=size,
            cause=str(request.cause),
            replaces=str(request.replaces_id or ""),
            instead=request.instead,
            bag=built.bag,
        )
        documents.issue(document, request.unit_id)


# Documents before everything else, because somebody waits at a counter for them. Others add theirs.
WORK: Final[list[Work]] = [Work(due, _claim, _make, publishing.tidy)]
# What looks for further work at each sweep and puts it into rows.
FINDERS: Final[list[Callable[[], None]]] = []
