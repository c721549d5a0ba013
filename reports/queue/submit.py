"""Document requests: create, list, cancel and retry them, and open their files.

A request is a row before any worker is notified of it. The notification may fail; the sweep finds
the row all the same.
"""

import logging
import math
from datetime import timedelta
from importlib import import_module
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.core.cache import cache
from django.core.files import File
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from prep.models import Person
from prep.queries.tokens import asked_by
from prep.record.refusal import Refusal
from reports.models import DocumentRequest, State
from reports.queue import claims, publishing, runner, worker
from reports.queue.requests import checked
from reports.registry import kind_named

log = logging.getLogger(__name__)

DAY: Final = timedelta(days=1)
MOST_A_DAY: Final = 300  # documents that one person asks for; a label sheet of 500 units is one
LEFT_ALONE: Final = 30  # seconds in which a broker that was away is not tried again


def ask(
    *,
    actor: Person,
    kind: str,
    command: UUID,
    unit: UUID | None = None,
    parameters: dict[str, Any] | None = None,
) -> DocumentRequest:
    """Request a document for a person, by the rules of its kind. Sent twice, it is the same one.

    Raises Refusal where the person may not, or the document cannot be made.
    """
    requested = kind_named(kind)
    accepted = requested.accept(checked(requested, actor, command, unit, parameters or {}))
    if not DocumentRequest.objects.filter(kind=kind, cause=accepted.cause).exists():
        _refuse_too_many(actor)
    row = request(
        kind=kind, cause=accepted.cause, unit=unit, person=actor, parameters=accepted.parameters
    )
    if row.unit_id != unit or (unit is None and row.person_id != actor.pk):
        raise Refusal("command-reused")
    return row


def _refuse_too_many(person: Person) -> None:
    """Refuse a further document to somebody who asked for very many within a day.

    Workers make them for everybody, one after the other. Two requests at once may both be the last
    one; what matters is that nobody asks for thousands.
    """
    now = timezone.now()
    asked = DocumentRequest.objects.filter(person=person, created__gt=now - DAY)
    newest = asked.order_by("-created").values_list("created", flat=True)
    if oldest_counted := newest[MOST_A_DAY - 1 : MOST_A_DAY].first():
        wait = math.ceil((oldest_counted + DAY - now).total_seconds())
        raise Refusal("too-many-documents", most=MOST_A_DAY, seconds=max(wait, 1))


def request(
    *,
    kind: str,
    cause: str,
    unit: UUID | None = None,
    person: Person | None = None,
    parameters: dict[str, Any] | None = None,
) -> DocumentRequest:
    """Create the request for a kind and cause, or return it where it exists already."""
    kind_named(kind)
    row, new = worker.create(
        kind=kind,
        cause=cause,
        unit=unit,
        person=person,
        token=person.access.program if person else "",
        parameters=parameters or {},
    )
    if new:
        transaction.on_commit(notify)
    return row


def requests_of(unit: UUID) -> QuerySet[DocumentRequest]:
    """Documents of a unit and where they stand, newest first."""
    return DocumentRequest.objects.filter(unit=unit).order_by("-created")


def requests_by(person: Person) -> QuerySet[DocumentRequest]:
    """Documents of no single unit that a person asked for, newest first; nobody else sees them."""
    return DocumentRequest.objects.filter(asked_by(person), unit=None).order_by("-created")


def units_with_failed_documents() -> QuerySet[DocumentRequest, UUID | None]:
    """Ids of units with a document that could not be made, as a subquery."""
    failed = DocumentRequest.objects.filter(state=State.FAILED).exclude(unit=None)
    return failed.values_list("unit_id", flat=True)


def cancel(request: DocumentRequest) -> None:
    """Cancel a request; a worker that builds it drops its file. Refusal once it is finished."""
    unfinished = DocumentRequest.objects.filter(pk=request.pk, state__in=worker.UNFINISHED)
    with transaction.atomic():
        if not unfinished.update(state=State.CANCELLED, worker=None, lease_until=None):
            raise Refusal("already-finished")
        publishing.tidy(request)
    request.refresh_from_db()


def retry(request: DocumentRequest) -> None:
    """Have a failed or cancelled document made after all; Refusal in any other state."""
    this = DocumentRequest.objects.filter(pk=request.pk)
    if not claims.again(this, State.FAILED, State.CANCELLED):
        raise Refusal("not-stopped")
    request.refresh_from_db()
    transaction.on_commit(notify)


def open_file(request: DocumentRequest) -> File:  # type: ignore[type-arg]  # generic in the stubs only
    """The finished file, opened for reading; the caller closes it.

    Raises Refusal where there is none, and where it is not the one that was issued.
    """
    if request.state != State.DONE:
        raise Refusal("not-made-yet", state=request.state)
    fault = publishing.fault_of(request)
    if fault == publishing.LOST:
        raise Refusal("file-missing")
    if fault:
        raise Refusal("file-altered")
    return publishing.stored(str(request.file))


def log_grew() -> None:
    """Log consumer: notify a worker that events were committed, at next to no cost."""
    if settings.SERVICE:
        _send("sweep")
    else:
        runner.nudge()


def notify() -> None:
    """Notify a worker that a job was committed."""
    if settings.SERVICE:
        _send("run_one")
    else:
        runner.nudge()


def _send(name: str) -> None:
    """Send a Celery task. A missing broker is only logged: the sweep will find the row.

    One that does not answer keeps whoever asked waiting for a moment; the next are not kept.
    """
    if cache.get("broker-away"):
        return
    try:
        # Read only here: the embedded profile has no broker, and spares its library's memory.
        getattr(import_module("reports.queue.tasks"), name).apply_async(retry=False)
    except Exception as wrong:
        cache.set("broker-away", True, LEFT_ALONE)
        log.warning("the broker did not take word (%s); the sweep will find the work", wrong)
