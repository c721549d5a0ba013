"""Certificates of the write path at its ends: typed nonsense, endless sheets, bad photographs."""

import dataclasses
import struct
import zlib
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
import pytest
from django.core.files.storage import default_storage
from PIL import Image
from pypdf import PdfReader

from prep.actions import people
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Person
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer
from prep.record.instrument.commands import RecordInstrument
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.unit.commands.flags import CloseFlag, RaiseFlag
from prep.record.unit.commands.receiving import ArrivalDamage, NoteDamage
from prep.record.unit.commands.releases import ReopenUnit
from prep.record.unit.commands.shortages import NoteShortage
from prep.record.unit.commands.steps import ReopenStep
from reports.certificate.document import certificate_pdf
from tests import stored_files
from tests.cast import NOT_THE_WORK, PASSWORD, PIN, TAPE, Yard, add_buyer
from tests.refusals import refused
from tests.reports import certificates, sold_units
from tests.reports.certificates import Issued, record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced, verdict

pytestmark = [pytest.mark.django_db, needs_poppler]

TYPED = (
    "</b><para>=1+1 &amp; <img src='file:///etc/passwd'/> ../../etc/passwd "
    "a\u202eexe שלום مرحبا 🚜 \x07\x1b[31m\r\n" + "and so on " * 50
)


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def typed_everywhere(yard: Yard, text: str) -> UUID:
    """A unit released twice with `text` in every box where people type freely."""
    odd = person_and_tape(yard, text)
    unit = yard.started(plate=text[:120], place=text[:60], note=text)
    ada: dict[str, Any] = {"actor": yard.ada, "target": unit}
    perform(NoteDamage(damage=ArrivalDamage(text[:200], text[:200])), **ada)
    perform(RaiseFlag(text=text), **ada)
    perform(
        NoteShortage(part=text[:120], stops_release=False, expected=text[:60], lent_to=text[:120]),
        **ada,
    )
    settle(yard, unit, text)
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked", note=text)
    yard.sign(unit, "block")
    yard.torque_blades(unit)
    perform(ReopenStep(step="block", reason=text), **ada)
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked", note=text)
    yard.sign(unit, "block")
    work_pitch(yard, unit, text, odd)
    buyer = add_buyer(AddBuyer(site=yard.site, name=text[:200]), actor=yard.sol)
    yard.assign(unit, buyer=buyer)
    yard.take(unit, "splines", "count", "6")
    yard.sign(unit, "splines")
    yard.take(unit, "drawbar", "distance", "14 in", instrument="M-9")
    yard.sign(unit, "drawbar")
    yard.release(unit)
    certificates.only(unit)
    perform(ReopenUnit(reason=text, nothing_because=NOT_THE_WORK), actor=yard.mira, target=unit)
    yard.release(unit)
    return unit


def person_and_tape(yard: Yard, text: str) -> Person:
    """A technician and an instrument of this name."""
    odd = people.enroll(username="odd", printed_name=text[:120], password=PASSWORD, pin=PIN)
    role = GiveRole(person=odd.username, role=Role.TECHNICIAN)
    perform(role, actor=yard.otto, target=yard.site)
    tape = msgspec.structs.replace(
        TAPE, code="M-9", name=text[:120], serial=text[:60], certificate=text[:120]
    )
    perform(RecordInstrument(site=yard.site, instrument=tape, reason=text), actor=yard.otto)
    return odd


def settle(yard: Yard, unit: UUID, text: str) -> None:
    """The first open flag is conceded with these words, every other put right."""
    yard.concede(unit, reason=text)
    for flag in record_of(unit).open_flags():
        perform(CloseFlag(flag=flag.id, text=text), actor=yard.mira, target=unit)


def work_pitch(yard: Yard, unit: UUID, text: str, who: Person) -> None:
    """A step by the person of that name: a reading that is none, replaced for that reason."""
    first = Submission()
    yard.take(unit, "pitch", "front", text[:90], command=first, actor=who)
    again = {"supersedes": str(first.id), "reason": text}
    yard.take(unit, "pitch", "front", "4 in", actor=who, **again)
    yard.take(unit, "pitch", "finish", "good", actor=who)
    sold_units.photograph(yard, unit, stored_files.picture(), note=text)
    yard.sign(unit, "pitch", actor=who)


def test_what_anybody_types_anywhere_reaches_the_certificate_and_breaks_nothing(
    yard: Yard, tmp_path: Path
) -> None:
    """Through the write path: as typed in the record, and drawn on paper as far as type can."""
    unit = typed_everywhere(yard, TYPED)
    made = certificates.issued(certificates.only(unit))
    assert verdict(made.pdf) == "pass"
    record = record_of_pdf(made.pdf)["certificate"]
    assert record["concessions"][0]["reason"] == TYPED
    assert record["replaces"]["why"] == TYPED
    assert record["photos"][0]["note"] == TYPED
    assert record["shortages"][0]["lent_to"] == TYPED[:120]
    pages = pages_of(made.pdf, tmp_path)
    start = unspaced("</b><para>=1+1 &amp; <img src='file:///etc/passwd'/> ../../etc/passwd")
    assert start in unspaced(pages[0])
    assert unspaced("".join(pages)).count(start) >= 20


def test_a_nul_is_refused_wherever_it_is_typed(yard: Yard) -> None:
    """No database but SQLite keeps one, and no page can show it."""
    unit = yard.started()
    yard.acknowledge(unit, "block")
    refused("text-unfit", yard.check, unit, "block", "blocked", note="a\x00b")
    refused("text-unfit", yard.receive, "TC\x00")


def endless(issued: Issued, times: int) -> Issued:
    """The same certificate with its steps worked over and over."""
    sections = tuple(
        dataclasses.replace(section, title=f"{section.title} {number}")
        for number in range(times)
        for section in issued.facts.sections
    )
    return dataclasses.replace(issued, facts=dataclasses.replace(issued.facts, sections=sections))


def test_an_endless_sheet_is_numbered_to_its_last_page(issued: Issued, tmp_path: Path) -> None:
    """Seventy readings, every one there."""
    facts = endless(issued, 10).facts
    pages = pages_of(certificate_pdf(facts, issued.pictures, "A4"), tmp_path)
    assert len(pages) > 10
    for place, page in enumerate(pages, 1):
        assert f"page{place}of{len(pages)}" in unspaced(page)
    text = unspaced("".join(pages))
    assert text.count("Bladeboltright472ft·lbftyped:640N·m") == 10
    assert all(unspaced(section.title) in text for section in facts.sections)


def test_a_box_replaced_a_hundred_times_runs_over_its_pages(issued: Issued, tmp_path: Path) -> None:
    """Every earlier entry is listed, and a step opened again and again."""
    section = issued.facts.sections[0]
    step = section.steps[1]
    box = step.boxes[0]
    worn = dataclasses.replace(
        step,
        boxes=(dataclasses.replace(box, earlier=box.earlier * 100), *step.boxes[1:] * 10),
        reopened=("opened for the hundredth time",) * 100,
        past=step.signed * 100,
    )
    sections = (dataclasses.replace(section, steps=(worn,)),)
    pdf = certificate_pdf(dataclasses.replace(issued.facts, sections=sections), {}, "Letter")
    text = unspaced("".join(pages_of(pdf, tmp_path)))
    assert text.count("earlier:480ftlb") == 100
    assert verdict(pdf) == "pass"


def image(form: str, size: tuple[int, int] = (600, 400), shade: int = 90) -> bytes:
    """A picture of one color."""
    target = BytesIO()
    Image.new("RGB", size, (40, shade, 160)).save(target, form)
    return target.getvalue()


def claiming(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims to be this large."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = (b"IHDR" + head, b"IDAT" + zlib.compress(b""), b"IEND")
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
        for chunk in chunks
    )


# What becomes of the file of each, and what the certificate says in its place.
PHOTOGRAPHS: dict[str, tuple[bytes | None, str]] = {
    "a good one": (b"", ""),
    "another": (b"", ""),
    "a third": (b"", ""),
    "lost": (None, "The file of this photo is missing."),
    "cut off": (image("JPEG")[:900], "This photo cannot be read."),
    "not a picture inside": (b"\xff\xd8\xff" + b"invented" * 99, "This photo cannot be read."),
    "a million pixels a side": (
        claiming(1_000_000, 1_000_000),
        "This photo is too large to show.",
    ),
    "just too large": (claiming(9_000, 9_000), "This photo is too large to show."),
}


@pytest.fixture
def with_photographs(yard: Yard) -> UUID:
    """A unit released with good photos; all but three are damaged or lost on the disk."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    for shade in range(len(PHOTOGRAPHS)):
        sold_units.photograph(yard, unit, image("PNG", shade=shade * 20))
    yard.level(unit)
    yard.release(unit)
    for (photo, _), (content, _) in zip(record_of(unit).photos, PHOTOGRAPHS.values(), strict=True):
        damage(Path(default_storage.path(PHOTO.file(photo.digest))), content)
    return unit


def damage(file: Path, content: bytes | None) -> None:
    """Put other bytes in the place of a file, or take it away."""
    if content is None:
        file.unlink()
    elif content:
        file.write_bytes(content)


def test_a_bad_photograph_is_told_of_and_the_certificate_stands(
    with_photographs: UUID, tmp_path: Path
) -> None:
    """Damaged, monstrous or missing: the place says which; the good ones are shown."""
    pdf = certificates.issued(certificates.only(with_photographs)).pdf
    assert verdict(pdf) == "pass"
    text = "".join(pages_of(pdf, tmp_path))
    for why in {why for _, why in PHOTOGRAPHS.values() if why}:
        wanted = sum(why == said for _, said in PHOTOGRAPHS.values())
        assert text.count(why) == wanted
    for photo, _ in record_of(with_photographs).photos:
        assert photo.digest[:16] in text
    shown = [one for page in PdfReader(BytesIO(pdf)).pages for one in page.images]
    assert len(shown) == 3


def test_a_great_photograph_does_not_make_a_great_file(yard: Yard) -> None:
    """Twelve million pixels are shown at 900 a side; the bundle has the whole picture."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    sold_units.photograph(yard, unit, image("JPEG", (4000, 3000)))
    yard.level(unit)
    yard.release(unit)
    pdf = certificates.issued(certificates.only(unit)).pdf
    (shown,) = [one for page in PdfReader(BytesIO(pdf)).pages for one in page.images]
    assert shown.image is not None
    assert max(shown.image.size) == 900
    assert len(pdf) < 200_000
