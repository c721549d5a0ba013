"""Verification of the words that people signed: kept under their digest, and none is missing."""

from collections.abc import Iterator
from typing import Final

import msgspec

from prep.actions.wordings import STREAM
from prep.models import Event
from prep.record import reference_events
from prep.record.wording.events import WordingKept, wording_digest
from prep.verify.findings import Finding, Tell

PAGE: Final = 2000
# Events that refer to a wording.
SIGNED: Final = (
    "caution.acknowledged",
    "concession.granted",
    "step.signed",
    "unit.handed_over",
    "unit.plate_corrected",
    "unit.released",
)


class _Signed(msgspec.Struct):
    """Of an event's body only its wording."""

    wording: "_Reference"


class _Reference(msgspec.Struct):
    digest: str


def wordings(tell: Tell) -> Iterator[Finding]:
    """Check that each wording gives its digest, and that every signature finds its words."""
    kept = set()
    for digest, body in Event.objects.filter(stream=STREAM).values_list("stream_id", "body"):
        kept.add(digest)
        if _digest_of(body) != digest:
            yield Finding("wording", digest, "wording-altered", {"digest": digest})
    tell("wordings", len(kept), len(kept))
    missing = set()
    signed = Event.objects.filter(stream="unit", kind__in=SIGNED).values_list("body", flat=True)
    for body in signed.iterator(PAGE):
        digest = _signed_digest(body)
        if digest and digest not in kept and digest not in missing:
            missing.add(digest)
            yield Finding("wording", digest, "wording-missing", {"digest": digest})


def _digest_of(body: str) -> str:
    try:
        event = reference_events.decode(body)
    except msgspec.MsgspecError:
        return ""
    return wording_digest(event.text) if isinstance(event, WordingKept) else ""


def _signed_digest(body: str) -> str:
    """The digest that an event refers to; empty where it cannot be read, which is found as well."""
    try:
        return msgspec.json.decode(body, type=_Signed).wording.digest
    except msgspec.MsgspecError:
        return ""
