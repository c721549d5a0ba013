"""Certificates of the cast's machines, and the tools that read them without us."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pikepdf
from django.db import transaction
from django.test import override_settings

from prep.actions.submission import Submission
from prep.models import Buyer, Event
from prep.queries import log
from prep.record.unit import events as e
from reports import queue
from reports.certificate.document import photographs
from reports.certificate.facts import CertificateFacts
from reports.certificate.gather.certificate import certificate_facts
from reports.models import DocumentRequest
from reports.registry import KINDS
from tests import stored_files
from tests.cast import Yard, make_yard
from tests.refusals import own_transaction
from tests.reports import sold_units


@dataclass(frozen=True)
class Issued:
    """A certificate as issued, with what it was made from."""

    pdf: bytes
    facts: CertificateFacts
    pictures: dict[str, bytes]
    events: tuple[e.UnitEvent, ...]
    envelopes: tuple[dict[str, Any], ...]
    keys: tuple[str, ...]
    digest: str

    @property
    def readings(self) -> list[e.ReadingTaken]:
        """Every reading of the record, replaced ones too."""
        return [event for event in self.events if isinstance(event, e.ReadingTaken)]


def with_everything(yard: Yard, buyer: Buyer | None = None) -> UUID:
    """A unit ready for its buyer that has one of each thing a certificate tells of."""
    unit = yard.started(options=["wide tires"], place="row 3")
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    first = Submission()
    yard.take(
        unit, "blades", "torque", "480 ft lb", position="left", instrument="W-1", command=first
    )
    again = {"supersedes": str(first.id), "reason": "slipped off the bolt"}
    yard.take(unit, "blades", "torque", "450 ft lb", position="left", instrument="W-1", **again)
    # Within the limit of 472.5 ft·lbf, but by less than this wrench can tell: a concession.
    yard.take(unit, "blades", "torque", "640 N·m", position="right", instrument="W-1")
    yard.concede(unit)
    yard.sign(unit, "blades")
    yard.second(unit, "blades")
    yard.take(unit, "pitch", "front", "4 1/2 in")
    yard.take(unit, "pitch", "finish", "good")
    sold_units.photograph(yard, unit, stored_files.picture(), note="before the washing")
    yard.sign(unit, "pitch")
    yard.assign(unit, buyer=buyer)
    yard.match_tractor(unit)
    return unit


def only(unit: UUID) -> DocumentRequest:
    """The newest certificate of a unit, made."""
    queue.catch_up()
    made = sold_units.made(unit, "certificate")
    assert made.state == "done", made.failure
    return made


def issued(request: DocumentRequest, address: str = "http://127.0.0.1:8000") -> Issued:
    """A finished certificate with everything it was made from."""
    assert request.unit_id is not None
    facts = certificate_facts(
        request.unit_id, request.cause, number=request.number, address=address
    )
    events = Event.objects.filter(stream="unit", stream_id=str(request.unit_id)).order_by("version")
    until = events.get(command=UUID(request.cause), kind="unit.released").version
    rows = tuple(events.filter(version__lte=until))
    with queue.open_file(request) as opened:
        pdf = opened.read()
    return Issued(
        pdf=pdf,
        facts=facts,
        pictures=photographs(facts),
        events=tuple(e.decode(row.body) for row in rows),
        envelopes=tuple(row.envelope() for row in rows),
        keys=tuple(key.text for key in log.public_keys()),
        digest=request.digest,
    )


def built_again(request: DocumentRequest) -> bytes:
    """What the builder makes of a finished request today."""
    again = DocumentRequest.objects.get(pk=request.pk)
    again.worker = uuid4()
    path = KINDS["certificate"].build(again, lambda done, total: None).path
    return path.read_bytes()


@contextmanager
def a_yard_of_its_own(folder: Path) -> Iterator[Yard]:
    """A yard whose rows are gone afterwards, for what several tests only look at."""
    hashers = [
        "django.contrib.auth.hashers.MD5PasswordHasher",
        "prep.actions.pin_hasher.PinHasher",
    ]
    own = override_settings(KEYS=folder, MEDIA_ROOT=folder / "files", PASSWORD_HASHERS=hashers)
    with own, own_transaction():
        yield make_yard()
        transaction.set_rollback(True)


def record_of_pdf(pdf: bytes) -> dict[str, Any]:
    """The machine-readable record attached to a certificate."""
    with pikepdf.open(BytesIO(pdf)) as opened:
        attached = opened.attachments["record.json"].get_file().read_bytes()
    found: dict[str, Any] = json.loads(attached)
    return found
