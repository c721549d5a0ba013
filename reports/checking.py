"""Verifying the documents: rows against the log, and every issued file's bytes."""

from collections.abc import Iterator
from uuid import UUID

from prep.actions.documents import command_of
from prep.actions.findings import Finding, Tell
from prep.actions.verifying_index import wrong_file
from prep.actions.verifying_log import pages
from prep.models import Event
from prep.record import events as e
from reports.models import Cursor, DocumentRequest, State
from reports.work import CAUSES, CONSUMER


def documents(tell: Tell) -> Iterator[Finding]:
    """Every document that is done, every one the log speaks of, every one a cause calls for."""
    done = DocumentRequest.objects.filter(state=State.DONE)
    total, counted = done.count(), 0
    for page in pages(done, "id"):
        for request in done.filter(pk__in=page):
            yield from _document(request)
        counted += len(page)
        tell("documents", counted, total)
    yield from _of_the_log()


def _document(request: DocumentRequest) -> Iterator[Finding]:
    name = f"document {request.pk} ({request.form} {request.number})"
    text = wrong_file(str(request.file), request.digest)
    if text:
        yield Finding("file", str(request.file), f"The file of {name} {text}")
    issued = _issued(request.pk)
    if request.unit_id is None and issued is None:
        return
    if issued is None:
        yield Finding("document", str(request.pk), f"No event says that {name} was issued.")
        return
    row, event = issued
    replaces = str(request.replaces_id) if request.replaces_id else ""
    stands = {
        "unit": (str(request.unit_id), row.stream_id),
        "form": (request.form, event.form),
        "cause": (request.cause, event.cause),
        "number": (request.number, event.number),
        "digest": (request.digest, event.digest),
        "size": (request.bytes, event.bytes),
        "replaced document": (replaces, event.replaces),
    }
    for what, (now, then) in stands.items():
        if now != then:
            text = f"The {what} of {name} was altered: {now}; by the log it is {then}."
            yield Finding("document", str(request.pk), text)


def _issued(document: UUID) -> tuple[Event, e.DocumentIssued] | None:
    row = Event.objects.filter(command=command_of(document)).first()
    event = e.decode(row.body) if row else None
    return (row, event) if row and isinstance(event, e.DocumentIssued) else None


def _of_the_log() -> Iterator[Finding]:
    """What the log says was issued, or calls for, is there."""
    read = Cursor.objects.filter(consumer=CONSUMER).values_list("read", flat=True).first() or 0
    kinds = ["document.issued", *CAUSES]
    for page in pages(Event.objects.filter(kind__in=kinds), "id"):
        for row in Event.objects.filter(pk__in=page).select_related("sealed"):
            event = e.decode(row.body)
            if isinstance(event, e.DocumentIssued):
                wanted = DocumentRequest.objects.filter(pk=event.document, state=State.DONE)
                what = f"{event.form} {event.number}"
            else:
                form, cause_of = CAUSES[row.kind]
                wanted = DocumentRequest.objects.filter(form=form, cause=cause_of(event))
                what = f"{form} for {row.kind} of unit {row.stream_id}"
                if not hasattr(row, "sealed") or row.sealed.position >= read:
                    continue  # not yet read, so not yet asked for
            if not wanted.exists():
                yield Finding("document", what, f"The {what} is missing from the documents.")
