"""A unit sold and handed over, its documents made: where the tests of bundles begin."""

import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Buyer
from prep.record.buyer.commands import AddBuyer
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.photos import AttachPhoto
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from reports.registry import KINDS
from tests.cast import PIN, Yard, add_buyer
from tests.document_kinds import built_by
from tests.stored_files import picture

ADDRESS = "1 Invented Lane\nNowhere 00000"
BUYER = "Fen Farm (invented)"
RECIPIENT = "Wes Fen (invented)"


def short_certificate(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes no more than that this is a certificate: quick, and the same again."""
    path = temporary_file(request, ".pdf")
    path.write_bytes(b"%PDF-1.7 an invented certificate for " + request.cause.encode())
    number = drawn_number("C", request.cause)
    return BuiltFile(path, "certificate.pdf", number, "application/pdf")


def quick_certificates(monkeypatch: pytest.MonkeyPatch) -> None:
    """Certificates are made by the short builder."""
    monkeypatch.setitem(KINDS, "certificate", built_by("certificate", short_certificate))


def photograph(yard: Yard, unit: UUID, content: bytes, note: str = "") -> None:
    """Ada's photograph of the paint."""
    perform(
        AttachPhoto(step="pitch", line="finish", note=note),
        actor=yard.ada,
        target=unit,
        attachment=content,
    )


def buyer_with_address(yard: Yard, **more: str) -> Buyer:
    """An invented buyer whom the post finds."""
    return add_buyer(
        AddBuyer(site=yard.site, name=BUYER, **{"address": ADDRESS, **more}), actor=yard.sol
    )


def ready_for(yard: Yard, buyer: Buyer, *, photo: bool = True) -> UUID:
    """A unit prepared and matched, with one superseded reading and a photograph."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    first = Submission()
    yard.take(unit, "pitch", "front", "5 in", command=first)
    yard.take(
        unit, "pitch", "front", "4 in", supersedes=str(first.id), reason="read at the wrong tip"
    )
    yard.take(unit, "pitch", "finish", "good")
    if photo:
        photograph(yard, unit, picture())
    yard.sign(unit, "pitch")
    yard.assign(unit, buyer=buyer)
    yard.match_tractor(unit)
    return unit


def hand_over(yard: Yard, unit: UUID, **more: Any) -> None:
    """Sol hands over; what is not given is as usual."""
    perform(
        HandOver(
            pin=PIN,
            **{
                "recipient": RECIPIENT,
                "relation": "owner",
                "language": "English",
                "shown": MUST_SHOW,
                "manual_given": True,
                **more,
            },
        ),
        actor=yard.sol,
        target=unit,
    )


def sold(yard: Yard, **more: Any) -> UUID:
    """A unit released and handed over to a buyer with an address; its documents are asked for."""
    unit = ready_for(yard, buyer_with_address(yard))
    yard.release(unit)
    hand_over(yard, unit, **more)
    queue.catch_up()
    return unit


def made(unit: UUID | None, kind: str) -> DocumentRequest:
    """The newest document of a kind, after all that is due was made."""
    queue.run_due()
    return DocumentRequest.objects.filter(unit=unit, kind=kind).order_by("-created")[0]


def saved(request: DocumentRequest, folder: Path) -> Path:
    """A finished document as a file of its own."""
    path = folder / request.name
    with queue.open_file(request) as opened:
        path.write_bytes(opened.read())
    return path


def unpacked(path: Path) -> Path:
    """The folder a bundle unpacks to."""
    with zipfile.ZipFile(path) as archive:
        archive.extractall(path.parent / "unpacked")
        top = archive.namelist()[0].partition("/")[0]
    return path.parent / "unpacked" / top
