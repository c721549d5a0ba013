"""Documents whose file was lost or damaged: made again with the same bytes, or stood in for.

The log holds the digest of each issued file. A file that is made again from the record as it stood
then, and has that digest, is the file that was issued, and is put back. One that comes out
otherwise, because the program, its fonts or a key is another than it was, is not passed off as it:
a document of its own stands in for it, and says so. A damaged file is never written over.
"""

import time
from collections.abc import Iterable
from typing import Any, Final
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F, QuerySet
from django.utils import timezone

from prep.actions import documents
from prep.models import Person
from prep.record.refusal import Refusal
from prep.record.unit.commands.documents import RecordRemade
from reports.document_kind import BuiltFile
from reports.holdings import is_over
from reports.models import DocumentRequest, Outcome, Remake, State
from reports.numbers import read_number
from reports.queue import publishing, submit
from reports.queue.claims import ClaimLost, Work, again, attempt, claim, mine, progress
from reports.queue.worker import UNFINISHED, WORK, run_one
from reports.registry import kind_named

MOST_NAMED: Final = 5
WAIT: Final = 0.2  # seconds between looks at what another worker has
RELEASED: Final[dict[str, Any]] = {"worker": None, "lease_until": None, "failure": ""}


def document_numbered(number: str) -> DocumentRequest:
    """The finished document with a number; Refusal where there is none."""
    read = read_number(number).number
    found = DocumentRequest.objects.filter(number=read, state=State.DONE).first()
    if found is None:
        raise Refusal("no-such-document")
    return found


def remake(document: DocumentRequest, person: Person | None) -> Remake:
    """Have the file of a finished document made again. Asked for twice, it is made once.

    Raises Refusal where there is no finished document, or its file is intact.
    """
    if document.state != State.DONE:
        raise Refusal("not-made-yet", state=document.state)
    if is_over(document):
        raise Refusal("document-erased", number=document.number)
    found = publishing.fault_of(document)
    if not found:
        raise Refusal("file-intact", number=document.number)
    for _ in range(2):  # one that ends between the two statements is not met again
        try:
            with transaction.atomic():
                job = Remake.objects.create(document=document, person=person, found=found)
                transaction.on_commit(submit.notify)
                return job
        except IntegrityError:
            pending = Remake.objects.filter(document=document, state__in=UNFINISHED).first()
            if pending:
                return pending
    raise Refusal("changed-meanwhile")


def remakes_of(documents: Iterable[DocumentRequest]) -> dict[UUID, Remake]:
    """The newest remake of each document that has one. One query."""
    jobs = Remake.objects.filter(document__in=documents).select_related("stand_in")
    return {job.document_id: job for job in jobs.order_by("created")}


def remake_of(document: DocumentRequest) -> Remake:
    """The newest remake of a document; Refusal where there was none."""
    job = Remake.objects.filter(document=document).order_by("created").last()
    if job is None:
        raise Refusal("never-remade")
    return job


def due() -> tuple[QuerySet[Remake], QuerySet[Remake]]:
    """Remakes a worker may claim now: those not heard of for a lease, then those that wait."""
    now = timezone.now()
    first = Remake.objects.order_by("due")
    silent = first.filter(state=State.WORKING, lease_until__lt=now)
    return silent, first.filter(state=State.WAITING, due__lte=now)


def remake_until_done(job: Remake) -> None:
    """Work on one remake, and on what stands in, beside other workers, until both are over."""
    job.refresh_from_db()
    while job.state in UNFINISHED:
        claimed = claim([jobs.filter(pk=job.pk) for jobs in due()], _left)
        if claimed is None:
            time.sleep(WAIT)
        else:
            attempt(claimed, _carry_out, _left)
        job.refresh_from_db()
    while job.stand_in and job.stand_in.state in UNFINISHED:
        if not run_one():
            time.sleep(WAIT)
        job.stand_in.refresh_from_db()


def _claim() -> Remake | None:
    return claim(due(), _left)


def _left(job: Remake) -> None:
    """Remove what tries have left behind; the document's own file stays, whatever it is like."""
    document = DocumentRequest.objects.get(pk=job.document_id)
    publishing.tidy(document, keep=str(document.file))


def _carry_out(job: Remake) -> None:
    document = DocumentRequest.objects.get(pk=job.document_id)
    if is_over(document):  # since it was asked for
        raise Refusal("document-erased", number=document.number)
    if not publishing.fault_of(document):  # somebody restored it from a backup meanwhile
        _end(job, Outcome.INTACT)
        return
    kind = kind_named(document.kind)
    broken = [
        part.number
        for part in kind.parts(document)
        if part.standing == part and publishing.fault_of(part)
    ]
    if broken:
        raise Refusal("parts-damaged", numbers=tuple(broken[:MOST_NAMED]))
    if not kind.repeatable:
        _have_stood_in_for(job, document)
        return
    document.worker = job.worker  # its builder works in this try's folder
    try:
        built = kind.build(document, progress(job))
        if publishing.measure(built.path) == (document.digest, document.bytes):
            _put_back(job, document, built)
        else:
            _have_stood_in_for(job, document)
    finally:
        publishing.drop(document)


def _put_back(job: Remake, document: DocumentRequest, built: BuiltFile) -> None:
    """Publish the file, and record it, in one transaction with the row that refers to it."""
    before = str(document.file)
    publishing.keep_aside(document)
    file = publishing.publish(document, built)
    try:
        with transaction.atomic():
            _end(job, Outcome.SAME)
            this = DocumentRequest.objects.filter(pk=document.pk, file=before, erased=None)
            if not this.update(file=file):
                raise Refusal("document-erased", number=document.number)
            publishing.tidy(document, keep=file)
            remade = RecordRemade(
                document=str(document.pk),
                number=document.number,
                digest=document.digest,
                found=job.found,
            )
            documents.record_remade(remade, document.unit_id, job=job.pk, person=job.person)
    except (ClaimLost, Refusal):
        publishing.withdraw(file)
        raise


def _have_stood_in_for(job: Remake, document: DocumentRequest) -> None:
    """Ask for the document that stands in for one which cannot be made again as it was."""
    later = document.replaced_by.filter(state=State.DONE).order_by("created").last()
    if later is not None:
        raise Refusal("replaced-already", by=later.number)
    with transaction.atomic():
        if DocumentRequest.objects.select_for_update().get(pk=document.pk).erased:
            raise Refusal("document-erased", number=document.number)
        stand_in, _ = DocumentRequest.objects.get_or_create(
            kind=document.kind,
            cause=document.cause,
            edition=document.edition + 1,
            defaults={
                "unit_id": document.unit_id,
                "person": document.person,
                "parameters": document.parameters,
                "replaces": document,
                "instead": job.found,
            },
        )
        again(DocumentRequest.objects.filter(pk=stand_in.pk), State.FAILED, State.CANCELLED)
        _end(job, Outcome.STAND_IN, stand_in=stand_in)


def _end(job: Remake, outcome: Outcome, **more: Any) -> None:
    ended = mine(job).update(
        state=State.DONE,
        outcome=outcome,
        finished=timezone.now(),
        steps_done=F("steps_total"),
        **RELEASED,
        **more,
    )
    if not ended:
        raise ClaimLost


WORK.append(Work(due, _claim, _carry_out, _left))
