"""Verification of documents: rows against the log, and the bytes of each issued file."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Final
from uuid import UUID

from django.core.files.storage import default_storage
from django.utils import timezone

from prep.actions.documents import command_of
from prep.models import Event, Photo
from prep.queries import log
from prep.record.unit import events as e
from prep.verify.findings import Finding, Tell
from prep.verify.index import read_file
from prep.verify.log import PAGE, pages
from reports.models import Cursor, DocumentRequest, State
from reports.queue.worker import CONSUMER, corrected_by
from reports.registry import MADE_ON, PLATE_CORRECTED

SETTLED: Final = timedelta(hours=1)  # a younger file may still wait for its row


def documents(tell: Tell) -> Iterator[Finding]:
    """Check each finished document, each one the log names, and each one an event calls for."""
    done = DocumentRequest.objects.filter(state=State.DONE)
    total, counted = done.count(), 0
    for page in pages(done, "id"):
        for request in done.filter(pk__in=page):
            yield from _document(request)
        counted += len(page)
        tell("documents", counted, total)
    yield from _documents_of_log()
    for consumer, read in Cursor.objects.values_list("consumer", "read"):
        if read > log.size():
            values = {"consumer": consumer, "read": read}
            yield Finding("cursor", consumer, "cursor-ahead", values)


def _document(request: DocumentRequest) -> Iterator[Finding]:
    key, file = str(request.pk), str(request.file)
    name = {"document": key, "kind": request.kind, "number": request.number}
    unreadable, altered = read_file(file, request.digest)
    if unreadable:
        values = {**name, "detail": unreadable}
        yield Finding("file", file, "document-file-unreadable", values)
    elif altered:
        yield Finding("file", file, "document-file-altered", name)
    elif default_storage.size(file) != request.bytes:
        yield Finding("document", key, "document-size", {**name, "bytes": request.bytes})
    issued = _issued(request.pk)
    if issued is None:
        yield Finding("document", key, "document-unissued", name)
        return
    row, event = issued
    replaces = str(request.replaces_id) if request.replaces_id else ""
    stands = {
        "unit": (str(request.unit_id or request.pk), row.stream_id),
        "kind": (request.kind, event.document_kind),
        "cause": (request.cause, event.cause),
        "number": (request.number, event.number),
        "digest": (request.digest, event.digest),
        "size": (request.bytes, event.bytes),
        "replaces": (replaces, event.replaces),
    }
    for column, (now, then) in stands.items():
        if now != then:
            values = {**name, "column": column, "stored": str(now), "right": str(then)}
            yield Finding("document", key, "document-column", values)


def _issued(document: UUID) -> tuple[Event, e.DocumentIssued] | None:
    row = Event.objects.filter(command=command_of(document)).first()
    event = e.decode(row.body) if row else None
    return (row, event) if row and isinstance(event, e.DocumentIssued) else None


def _documents_of_log() -> Iterator[Finding]:
    """Check that each document the log issues or calls for exists."""
    read = Cursor.objects.filter(consumer=CONSUMER).values_list("read", flat=True).first() or 0
    kinds = ["document.issued", PLATE_CORRECTED, *MADE_ON]
    for page in pages(Event.objects.filter(kind__in=kinds), "id"):
        for row in Event.objects.filter(pk__in=page).select_related("sealed"):
            event = e.decode(row.body)
            if row.kind == PLATE_CORRECTED:
                yield from _after_correction(row, read)
                continue
            if isinstance(event, e.DocumentIssued):
                wanted = DocumentRequest.objects.filter(pk=event.document, state=State.DONE)
                missing = _missing(event.document_kind, event.number)
            else:
                made_on = MADE_ON[row.kind]
                wanted = DocumentRequest.objects.filter(
                    kind=made_on.document, cause=made_on.cause_of(event)
                )
                missing = _not_requested(made_on.document, row)
                if not hasattr(row, "sealed") or row.sealed.position >= read:
                    continue  # not yet read, so not yet asked for
            if not wanted.exists():
                yield missing


def _after_correction(row: Event, read: int) -> Iterator[Finding]:
    """Check that what a misread plate was in was requested again."""
    if not hasattr(row, "sealed") or row.sealed.position >= read:
        return  # not yet read, so not yet asked for
    for kind, more in corrected_by(row):
        if not DocumentRequest.objects.filter(kind=kind, cause=more["cause"]).exists():
            yield _not_requested(kind, row)


def _missing(kind: str, number: str) -> Finding:
    """A document that the log says was issued."""
    values = {"kind": kind, "number": number}
    return Finding("document", f"{kind} {number}", "document-missing", values)


def _not_requested(kind: str, event: Event) -> Finding:
    """A document that an event of the log calls for."""
    values = {"kind": kind, "event": event.kind, "unit": event.stream_id}
    which = f"{kind} {event.kind} {event.stream_id}"
    return Finding("document", which, "document-not-requested", values)


def files(tell: Tell) -> Iterator[Finding]:
    """Check that each stored file belongs to a photo or a document; builds are passed over."""
    done = 0
    for folder, names in _folders(""):
        stored = sorted(f"{folder}{name}" for name in names)
        for start in range(0, len(stored), PAGE):
            page = stored[start : start + PAGE]
            known = set(Photo.objects.filter(file__in=page).values_list("file", flat=True))
            known |= set(
                DocumentRequest.objects.filter(file__in=page).values_list("file", flat=True)
            )
            for name in page:
                if name not in known and _is_settled(name):
                    yield Finding("file", name, "file-stray", {"file": name})
            done += len(page)
            tell("files", done, done)


def _folders(folder: str) -> Iterator[tuple[str, list[str]]]:
    """Folders of the storage, each with its files; names that start with a dot are passed over."""
    try:
        inner, names = default_storage.listdir(folder)
    except FileNotFoundError:  # nothing was ever stored, or it was tidied away meanwhile
        return
    yield folder, names
    for name in sorted(inner):
        if not name.startswith("."):
            yield from _folders(f"{folder}{name}/")


def _is_settled(name: str) -> bool:
    try:
        return timezone.now() - default_storage.get_modified_time(name) > SETTLED
    except FileNotFoundError:
        return False
