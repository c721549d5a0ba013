"""Document requests: made, followed, stopped, retried, and their files opened.

Everything asked for is a row before anything is told to work on it. Telling may fail; the sweep
finds the row all the same.
"""

import logging
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.files import File
from django.db import transaction
from django.db.models import QuerySet

from prep.models import Person
from prep.record.refusal import Refusal
from reports.models import DocumentRequest, State
from reports.queue import publishing, runner, tasks, worker
from reports.queue.requests import checked
from reports.registry import kind_named

log = logging.getLogger(__name__)


def ask(
    *,
    actor: Person,
    kind: str,
    command: UUID,
    unit: UUID | None = None,
    parameters: dict[str, Any] | None = None,
) -> DocumentRequest:
    """A person asks for a document, by the rules of its kind. Sent twice, it is the same one."""
    known = kind_named(kind)
    accepted = known.accept(checked(known, actor, command, unit, parameters or {}))
    asked = request(
        kind=kind, cause=accepted.cause, unit=unit, person=actor, parameters=accepted.parameters
    )
    if asked.unit_id != unit or (unit is None and asked.person_id != actor.pk):
        raise Refusal("command-reused", "This command was used for something else. Send a new one.")
    return asked


def request(
    *,
    kind: str,
    cause: str,
    unit: UUID | None = None,
    person: Person | None = None,
    parameters: dict[str, Any] | None = None,
) -> DocumentRequest:
    """Have a document made. Asked again for the same kind and cause, it is the same document."""
    kind_named(kind)
    row, new = worker.create(
        kind=kind, cause=cause, unit=unit, person=person, parameters=parameters or {}
    )
    if new:
        transaction.on_commit(_tell)
    return row


def requests_of(unit: UUID) -> QuerySet[DocumentRequest]:
    """Documents of a unit and where they stand, newest first."""
    return DocumentRequest.objects.filter(unit=unit).order_by("-created")


def requests_by(person: Person) -> QuerySet[DocumentRequest]:
    """Documents of no single unit that a person asked for, newest first; nobody else sees them."""
    return DocumentRequest.objects.filter(unit=None, person=person).order_by("-created")


def units_with_failed_documents() -> QuerySet[DocumentRequest, UUID | None]:
    """Ids of units with a document that could not be made, as a subquery."""
    failed = DocumentRequest.objects.filter(state=State.FAILED).exclude(unit=None)
    return failed.values_list("unit_id", flat=True)


def cancel(request: DocumentRequest) -> None:
    """Do not make it. A worker that already builds it drops what it built."""
    unfinished = DocumentRequest.objects.filter(pk=request.pk, state__in=worker.UNFINISHED)
    with transaction.atomic():
        if not unfinished.update(state=State.CANCELLED, worker=None, lease_until=None):
            raise Refusal(
                "already-finished", "It is no longer being made, so it cannot be stopped."
            )
        publishing.tidy(request)
    request.refresh_from_db()


def retry(request: DocumentRequest) -> None:
    """Make it after all."""
    this = DocumentRequest.objects.filter(pk=request.pk)
    if not worker.again(this, State.FAILED, State.CANCELLED):
        raise Refusal("not-stopped", "It is made already, or it will be without asking.")
    request.refresh_from_db()
    transaction.on_commit(_tell)


def open_file(request: DocumentRequest) -> File:  # type: ignore[type-arg]  # generic in the stubs only
    """The finished file, opened for reading; the caller closes it."""
    if request.state != State.DONE:
        raise Refusal("not-made-yet", "This document is not made yet.", state=request.state)
    try:
        return publishing.stored(str(request.file))
    except FileNotFoundError as missing:
        raise Refusal(
            "file-missing",
            "The file of this document is gone from the storage. Restore it from your backup; "
            "its digest in the log tells whether it is the right one.",
        ) from missing


def log_grew() -> None:
    """A consumer of the log: events were committed. Costs a request next to nothing."""
    if settings.SERVICE:
        _send(tasks.sweep)
    else:
        runner.nudge()


def _tell() -> None:
    """A request was committed: tell somebody."""
    if settings.SERVICE:
        _send(tasks.run_one)
    else:
        runner.nudge()


def _send(task: Any) -> None:
    """Send word. No broker is no reason to fail: the row is there, and the sweep comes by."""
    try:
        task.apply_async(retry=False)
    except Exception as wrong:
        log.warning("the broker did not take word (%s); the sweep will find the work", wrong)
