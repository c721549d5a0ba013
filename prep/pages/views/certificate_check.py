"""The verification page: where the QR code of a certificate leads. Nobody signs in here."""

import hashlib
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.models import Event
from prep.queries import log
from prep.queries.records import record_of
from prep.record.unit.events import DocumentIssued, decode
from reports.models import DocumentRequest, State

LARGEST = 60 * 1024 * 1024


def verify(request: HttpRequest, number: str) -> HttpResponse:
    """What a certificate is for, whether the log proves it, and whether a file is the one issued.

    Nothing about the buyer is said. A file sent here is hashed and thrown away.
    """
    found = DocumentRequest.objects.filter(number=number, state=State.DONE).first()
    page: dict[str, Any] = {"number": number, "document": found, "compared": ""}
    if found is not None and found.unit_id:
        page |= _proven(found)
        page["compared"] = _compared(request, found)
    return render(request, "certificate_check.html", page, status=200 if found else 404)


def _proven(found: DocumentRequest) -> dict[str, Any]:
    assert found.unit_id is not None
    record = record_of(found.unit_id)
    issued = _issued_in_log(found)
    latest = log.latest_checkpoint()
    position = log.position_of(issued.pk) if issued else None
    release = next((r for r in record.releases if r.event.release == found.cause), None)
    return {
        "record": record,
        "release": release or (record.releases[-1] if record.releases else None),
        "issued": issued,
        "agrees": issued is not None,
        "position": position,
        "checkpoint": latest,
        "keys": log.public_keys(),
        "replaced_by": DocumentRequest.objects.filter(replaces=found, state=State.DONE).first(),
    }


def _issued_in_log(found: DocumentRequest) -> Event | None:
    """The event that recorded this very file, digest and all."""
    events: list[Event] = list(
        Event.objects.filter(stream="unit", stream_id=str(found.unit_id), kind="document.issued")
    )
    for event in events:
        body = decode(event.body)
        if isinstance(body, DocumentIssued) and body.digest == found.digest:
            return event
    return None


def _compared(request: HttpRequest, found: DocumentRequest) -> str:
    sent = request.FILES.get("file")
    if request.method != "POST":
        return ""
    if sent is None or (sent.size or 0) > LARGEST:
        return "none"
    digest = hashlib.sha256()
    for chunk in sent.chunks():
        digest.update(chunk)
    return "same" if digest.hexdigest() == found.digest else "other"
