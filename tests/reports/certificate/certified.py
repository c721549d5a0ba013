"""Certificates of the cast's machines, and the tools that read them without us."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Final
from uuid import UUID, uuid4

import pikepdf
import pytest
from django.db import transaction
from django.test import override_settings

from prep.actions.write_path import Command
from prep.models import Event
from prep.queries import log
from prep.record.unit import events as e
from reports import queue
from reports.certificate.document import photographs
from reports.certificate.facts import CertificateFacts
from reports.certificate.gather import certificate_facts
from reports.models import DocumentRequest
from reports.registry import KINDS
from tests.cast import Yard, make_yard
from tests.reports import sold

POPPLER: Final = ("pdftotext", "pdffonts", "pdftoppm")
needs_poppler = pytest.mark.skipif(
    not all(map(shutil.which, POPPLER)), reason="needs the PDF tools of Poppler"
)
needs_zbar = pytest.mark.skipif(
    not shutil.which("zbarimg"), reason="needs the bar code reader of ZBar"
)


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


def with_everything(yard: Yard) -> UUID:
    """A unit ready for its buyer that has one of each thing a certificate tells of."""
    unit = yard.started(options=["wide tyres"], place="row 3")
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    first = Command()
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
    sold.photograph(yard, unit, sold.picture(), note="before the washing")
    yard.sign(unit, "pitch")
    yard.assign(unit)
    yard.match_tractor(unit)
    return unit


def only(unit: UUID) -> DocumentRequest:
    """The newest certificate of a unit, made."""
    queue.catch_up()
    made = sold.made(unit, "certificate")
    assert made.state == "done", made.failure
    return made


def issued(request: DocumentRequest, address: str = "http://127.0.0.1:8000") -> Issued:
    """A finished certificate with everything it was made from."""
    assert request.unit_id is not None
    facts = certificate_facts(request.unit_id, request.cause, address=address)
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
    with own, transaction.atomic():
        yield make_yard()
        transaction.set_rollback(True)


def record_of_pdf(pdf: bytes) -> dict[str, Any]:
    """The machine-readable record attached to a certificate."""
    with pikepdf.open(BytesIO(pdf)) as opened:
        attached = opened.attachments["record.json"].get_file().read_bytes()
    found: dict[str, Any] = json.loads(attached)
    return found


def run(command: list[str], pdf: bytes, folder: Path) -> str:
    """What a command says of a PDF whose path stands for “PDF” in it."""
    path = folder / "certificate.pdf"
    path.write_bytes(pdf)
    filled = [str(path) if word == "PDF" else word for word in command]
    return subprocess.run(filled, check=True, capture_output=True, cwd=folder).stdout.decode()


def pages_of(pdf: bytes, folder: Path) -> list[str]:
    """The text of each page in the order it was drawn, by Poppler."""
    return run(["pdftotext", "-raw", "PDF", "-"], pdf, folder).split("\f")[:-1]


def unspaced(text: str) -> str:
    """Text without any white space: a cell breaks its lines where it must."""
    return "".join(text.split())


def verdict(pdf: bytes) -> str:
    """What pikepdf's checker of PDF/A-3b says of a finished file: pass, fail or not_checked."""
    found = pikepdf.pdfa.validate_written(BytesIO(pdf), "3b").verdict
    return str(getattr(found, "value", found))
