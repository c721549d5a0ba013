"""The page a certificate's QR code leads to. It needs no sign-in."""

import hashlib
from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from prep.models import Event
from prep.pages.reader_language import language_of
from prep.queries import log
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.sites import dealership_of, time_zone_of
from prep.record.unit.events import DocumentIssued, decode
from prep.words.reader import Reader, say
from prep.words.unit.signatures import ended_because
from reports.certificate.cause import release_of
from reports.models import DocumentRequest, State
from reports.registry import kind_named

LARGEST = 60 * 1024 * 1024


def verify(request: HttpRequest, number: str) -> HttpResponse:
    """Show what a certificate is for and whether the log proves it; compare an uploaded file.

    The page says nothing about the buyer. An uploaded file is hashed and not stored.
    """
    document = DocumentRequest.objects.filter(number=number, state=State.DONE).first()
    page: dict[str, Any] = {"number": number, "document": document, "compared": ""}
    if document is None or document.unit_id is None:
        return render(request, "certificate_check.html", page, status=200 if document else 404)
    # Nobody has to sign in here, so the words are in the language of the page.
    reader = replace(reader_of(request.user), language=language_of(request))
    page |= _proof(document, reader)
    page["compared"] = _compare_file(request, document)
    with timezone.override(ZoneInfo(time_zone_of(document.unit_id))):
        return render(request, "certificate_check.html", page)


def _proof(document: DocumentRequest, reader: Reader) -> dict[str, Any]:
    assert document.unit_id is not None
    record = record_of(document.unit_id)
    issued = _issuing_event(document)
    latest = log.latest_checkpoint()
    position = log.position_of(issued.pk) if issued else None
    cause = release_of(document.cause)
    release = next((r for r in record.releases if r.event.release == cause), None)
    shown = release or (record.releases[-1] if record.releases else None)
    return {
        "title": say(reader, kind_named(document.kind).title),
        "record": record,
        "dealership": dealership_of(document.unit_id),
        "release": shown,
        "ended_because": ended_because(shown, reader) if shown else "",
        "issued": issued,
        "agrees": issued is not None,
        "position": position,
        "checkpoint": latest,
        "keys": log.public_keys(),
        "replaced_by": DocumentRequest.objects.filter(replaces=document, state=State.DONE).first(),
    }


def _issuing_event(document: DocumentRequest) -> Event | None:
    """The event that records the document with the digest of its file."""
    events: list[Event] = list(
        Event.objects.filter(stream="unit", stream_id=str(document.unit_id), kind="document.issued")
    )
    for event in events:
        body = decode(event.body)
        if isinstance(body, DocumentIssued) and body.digest == document.digest:
            return event
    return None


def _compare_file(request: HttpRequest, document: DocumentRequest) -> str:
    sent = request.FILES.get("file")
    if request.method != "POST":
        return ""
    if sent is None or (sent.size or 0) > LARGEST:
        return "none"
    digest = hashlib.sha256()
    for chunk in sent.chunks():
        digest.update(chunk)
    return "same" if digest.hexdigest() == document.digest else "other"
