"""Verification of documents: rows against the log, and the bytes of each issued file."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import PurePosixPath
from typing import Any, Final
from uuid import UUID

import msgspec
from django.core.files.storage import default_storage
from django.db.models import Q
from django.utils import timezone

from prep.actions.beside_the_log.picture_files import expected
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.documents import command_of
from prep.models import Event, Photo
from prep.queries import log
from prep.record.unit import events as e
from prep.verify.findings import Finding, Result, Statement, Tell
from prep.verify.index import read_file
from prep.verify.intact import doubtful_from, is_proved
from prep.verify.log import PAGE, pages
from prep.verify.names import unit_name
from reports.issued_checkpoints import IssuedCheckpoints
from reports.models import Cursor, DocumentRequest, State
from reports.queue.worker import CONSUMER, corrected_by
from reports.registry import MADE_ON, PLATE_CORRECTED

SETTLED: Final = timedelta(hours=1)  # a younger file may still wait for its row


def documents(tell: Tell) -> Iterator[Result]:
    """Check each finished document, each one the log names, and each one an event calls for."""
    done = DocumentRequest.objects.filter(state=State.DONE)
    total, counted = done.count(), 0
    sealed, doubtful = IssuedCheckpoints(), doubtful_from()
    for page in pages(done, "id"):
        for request in done.filter(pk__in=page):
            results = list(_document(request, doubtful))
            yield from results
            faulty = any(isinstance(one, Finding) and one.sort == "file" for one in results)
            if not faulty and request.erased is None:
                sealed.read(request)  # an altered file proves nothing
        yield from sealed.held_against_log()
        counted += len(page)
        tell("documents", counted, total)
    yield from sealed.statements()
    if erased := done.exclude(erased=None).count():
        yield Statement("documents-erased", {"count": erased})
    yield from _documents_of_log(doubtful)
    for consumer, read in Cursor.objects.values_list("consumer", "read"):
        if read > log.size():
            values = {"consumer": consumer, "read": read}
            yield Finding("cursor", consumer, "cursor-ahead", values)


def _document(request: DocumentRequest, doubtful: int | None) -> Iterator[Result]:
    """Check a document's row against the event that issued it, and its file against both.

    Only an event that is proved may accuse: the row and the file are not, where it was altered.
    """
    key = str(request.pk)
    name = {"document": key, "kind": request.kind, "number": request.number}
    issued = _issued(request.pk)
    proved = issued is not None and is_proved(issued[0], doubtful)
    if request.erased:
        yield from _erased(request, name)
    elif request.standing == request:  # the log says it of a lost one that another stands in for
        yield from _file(request, issued[1].digest if issued and proved else request.digest, name)
    if issued and proved:
        yield from _columns(request, *issued, name)
    elif issued or _spoken_of(request.pk, doubtful):
        yield Statement("document-unjudged", name, proved=False)
    else:
        yield Finding("document", key, "document-unissued", name)


def _columns(
    request: DocumentRequest, row: Event, event: e.DocumentIssued, name: dict[str, str]
) -> Iterator[Finding]:
    """Check the columns of a document's row against the event that issued it."""
    replaces = str(request.replaces_id) if request.replaces_id else ""
    stands = {
        "unit": (str(request.unit_id or request.pk), row.stream_id),
        "kind": (request.kind, event.document_kind),
        "cause": (request.cause, event.cause),
        "number": (request.number, event.number),
        "digest": (request.digest, event.digest),
        "size": (request.bytes, event.bytes),
        "replaces": (replaces, event.replaces),
        "instead": (request.instead, event.instead),
        "edition": (request.edition, _edition(request, event)),
    }
    for column, (now, then) in stands.items():
        if now != then:
            values = {**name, "column": column, "stored": str(now), "right": str(then)}
            yield Finding("document", str(request.pk), "document-column", values)


def _edition(request: DocumentRequest, event: e.DocumentIssued) -> int:
    """The edition after that of the document it stands in for; 0 for one that does not."""
    if not event.instead or request.replaces is None:
        return 0
    return request.replaces.edition + 1


def _file(request: DocumentRequest, digest: str, name: dict[str, Any]) -> Iterator[Finding]:
    """Check a document's file against the digest it should have."""
    file = str(request.file)
    unreadable, altered = read_file(file, digest)
    if unreadable:
        values = {**name, "detail": unreadable}
        yield Finding("file", file, "document-file-unreadable", values)
    elif altered:
        yield Finding("file", file, "document-file-altered", name)
    elif default_storage.size(file) != request.bytes:
        values = {**name, "bytes": request.bytes}
        yield Finding("document", str(request.pk), "document-size", values)


def _erased(request: DocumentRequest, name: dict[str, Any]) -> Iterator[Result]:
    """Check that the log says of an erased document that it is, and that its file is gone."""
    key, file = str(request.pk), str(request.file)
    events = Event.objects.filter(kind="document.erased", body__contains=key)
    if not events.exists():
        yield Finding("document", key, "document-called-erased", name)
    if default_storage.exists(file):
        yield Finding("file", file, "document-not-erased", name)


def _issued(document: UUID) -> tuple[Event, e.DocumentIssued] | None:
    row = Event.objects.filter(command=command_of(document)).first()
    event = _decoded(row) if row else None
    return (row, event) if row and isinstance(event, e.DocumentIssued) else None


def _spoken_of(document: UUID, doubtful: int | None) -> bool:
    """Whether an event that was altered since may have issued a document."""
    events = Event.objects.filter(body__contains=str(document)) | Event.objects.filter(
        command=command_of(document)
    )
    return any(not is_proved(event, doubtful) for event in events.iterator(PAGE))


def _decoded(row: Event) -> e.Event | None:
    """An event of a unit; None where it cannot be read, which another check says."""
    try:
        return e.decode(row.body)
    except msgspec.MsgspecError:
        return None


def _documents_of_log(doubtful: int | None) -> Iterator[Finding]:
    """Check that each document the log issues or calls for exists."""
    read = Cursor.objects.filter(consumer=CONSUMER).values_list("read", flat=True).first() or 0
    kinds = ["document.issued", PLATE_CORRECTED, *MADE_ON]
    for page in pages(Event.objects.filter(kind__in=kinds), "id"):
        for row in Event.objects.filter(pk__in=page).select_related("sealed"):
            event = _decoded(row)
            if event is None:
                continue
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
            if not wanted.exists() and is_proved(row, doubtful):
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
    unit = unit_name(event.stream_id)
    values = {"kind": kind, "event": event.kind, "unit": unit, "id": event.stream_id}
    which = f"{kind} {event.kind} {event.stream_id}"
    return Finding("document", which, "document-not-requested", values)


def files(tell: Tell) -> Iterator[Finding]:
    """Check that each stored file belongs to a picture or a document; builds are passed over."""
    done = 0
    for folder, names in _folders(""):
        stored = sorted(f"{folder}{name}" for name in names)
        for start in range(0, len(stored), PAGE):
            page = stored[start : start + PAGE]
            documents = DocumentRequest.objects.filter(file__in=page)
            known = expected(page) | set(documents.values_list("file", flat=True))
            left = list(_left(page))
            yield from left
            known |= {finding.which for finding in left}
            for name in page:
                if name not in known and _is_settled(name):
                    yield Finding("file", name, "file-stray", {"file": name})
            done += len(page)
            tell("files", done, done)


def _left(names: list[str]) -> Iterator[Finding]:
    """Those of some stored files that are photos erased by an event that was worked through."""
    read = Cursor.objects.filter(consumer=CONSUMER).values_list("read", flat=True).first() or 0
    digests = {PurePosixPath(name).stem for name in names}
    erased = Photo.objects.exclude(erased=None)
    for photo in erased.filter(Q(digest__in=digests) | Q(small__in=digests)):
        files = {PHOTO.file(photo.digest), PHOTO.file(photo.small)} & set(names)
        if not files - expected(files):
            continue  # another photo has the same picture
        events = Event.objects.filter(
            kind="unit.personal_erased",
            stream_id=str(photo.unit_id),
            body__contains=str(photo.pk),
            sealed__position__lt=read,
        )
        if events.exists():
            for file in sorted(files):
                values = {"file": file, "unit": unit_name(photo.unit_id)}
                yield Finding("file", file, "photo-not-erased", values)


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
