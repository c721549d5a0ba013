"""Drawings in a certificate: the geometry that readings were worked out from."""

import dataclasses
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import pytest

from prep.record.documents.typed import sound_document
from prep.record.facts import BuyerRef, ManufacturerFacts, ModelDocument, TractorFacts
from prep.record.procedure.reading import load_procedure
from prep.record.unit import events as e
from prep.record.unit.fold import evolve
from prep.record.unit.limits import freeze
from prep.record.unit.state import Record, Stamp
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import decimal_text
from prep.words.reader import ENGLISH
from reports.certificate.document import certificate_pdf
from reports.certificate.gather.drawings import explained
from tests.reports.certificates import Issued, record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced, verdict

FIXTURES: Final = Path(__file__).parents[4] / "fixtures"
NOW: Final = datetime(2026, 5, 4, 9, tzinfo=UTC)
# An invented cutter behind an invented tractor, every limit met. From the data of its fixture the
# longest reach is 41.76 in and the shortest 32.58 in; the overlap wanted is 6 in, here it is more.
READ: Final = [
    ("pitch", "front", "", "12 in"),
    ("pitch", "rear", "", "12 3/4 in"),
    ("wing-level", "center", "", "12 in"),
    ("wing-level", "wing", "left wing", "12 in"),
    ("wing-level", "wing", "right wing", "11 15/16 in"),
    ("height", "cut", "lowest tip", "5 in"),
    ("drawbar", "distance", "", "14 in"),
    ("reach", "longest", "", "41 3/4 in"),
    ("reach", "shortest", "", "32 5/8 in"),
    ("reach", "outer", "", "27 1/2 in"),
    ("reach", "inner", "", "27 in"),
]


def cutter(readings: list[tuple[str, str, str, str]]) -> Record:
    """The record of a shipped cutter with these readings, its limits frozen as each was taken."""
    procedure, _, digest = load_procedure(
        (FIXTURES / "procedures" / "rotary-cutter-r1.yaml").read_text()
    )
    machine, tractor = (
        sound_document((FIXTURES / "models" / name).read_text(), ModelDocument)
        for name in ("lf-rc15.yaml", "tractors/qm-4110.yaml")
    )
    buyer = TractorFacts(tractor.model, tractor.name, tractor.data)
    record = Record({digest: procedure})
    facts = machine.facts(ManufacturerFacts("lf", machine.maker))
    for event in (
        e.Received("Larkfield", "lf", "RC1", "RC1", "", facts, (), (), (), "", ""),
        e.SheetStarted("rotary-cutter", 1, digest),
        e.BuyerAssigned(BuyerRef("1", ""), buyer, ()),
    ):
        happen(record, event)
    for number, reading in enumerate(readings):
        take(record, f"r{number}", *reading)
    return record


def happen(record: Record, event: e.UnitEvent) -> None:
    """One more event."""
    evolve(record, Stamp("1", "Ada Invented", NOW, NOW, record.version + 1), event)


def take(record: Record, name: str, step: str, line: str, position: str, text: str) -> None:
    """A reading, held against the limit of this moment."""
    assert record.procedure is not None
    asked = record.procedure.steps[step].by_line[line]
    found = read(text, "length")
    assert isinstance(found, Typed)
    event = e.ReadingTaken(
        reading=name,
        step=step,
        line=line,
        position=position,
        raw=text,
        verdict="conforming",
        quantity="length",
        value=decimal_text(found.measured.value),
        unit=found.measured.unit.symbol,
        canonical=decimal_text(found.measured.canonical()),
        canonical_unit="mm",
        limit=freeze(record, asked, position),
    )
    happen(record, event)


def test_each_step_with_a_geometry_is_drawn_once() -> None:
    """Pitch, wings, stop segments, and the driveline at its extremes, under their steps."""
    found = explained(cutter(READ), ENGLISH)
    assert [(one.step, one.drawing.title) for one in found][:3] == [
        ("pitch", "Pitch of the deck, side view"),
        ("wing-level", "Wings compared with the center, seen from behind"),
        ("height", "Stop segments on the rod"),
    ]
    assert found[0].caption == "Level fore and aft. Pitch of the deck, side view"
    poses = [one.drawing.description for one in found[3:]]
    assert {one.step for one in found[3:]} == {"reach"}
    assert poses[0].startswith("Longest: straight ahead")
    assert poses[1].startswith("Shortest: full turn")


def test_the_driveline_is_drawn_with_the_halves_as_measured() -> None:
    """By hand, from the reach of the limit: 27 1/2 + 27 - 41.76 in of overlap, 32.58 - 27 1/2 in

    of clearance, each to the sixteenth that is shown.
    """
    found = [one for one in explained(cutter(READ), ENGLISH) if one.step == "reach"]
    longest, shortest = (one.drawing.description for one in found[:2])
    assert "Overlap of the halves: 12 3/4 in" in longest
    assert "End clearance: 5 1/16 in" in shortest


def test_a_picture_that_would_contradict_a_limit_is_left_out() -> None:
    """The drawbar was measured anew after the reach: its limits were worked out from another."""
    record = cutter(READ)
    take(record, "again", "drawbar", "distance", "", "16 in")
    assert "reach" not in {one.step for one in explained(record, ENGLISH)}
    assert "pitch" in {one.step for one in explained(record, ENGLISH)}


def test_one_wing_alone_is_not_drawn() -> None:
    """The picture shows both against the center."""
    found = explained(cutter([one for one in READ if one[2] != "right wing"]), ENGLISH)
    assert "wing-level" not in {one.step for one in found}


@needs_poppler
@pytest.mark.django_db
def test_drawings_stand_in_the_certificate_and_not_in_its_record(
    issued: Issued, tmp_path: Path
) -> None:
    """With their captions, embedded fonts and all; the record says in numbers what they show."""
    code = issued.facts.steps[0].step
    shown = tuple(dataclasses.replace(one, step=code) for one in explained(cutter(READ), ENGLISH))
    pdf = certificate_pdf(dataclasses.replace(issued.facts, explained=shown), {}, "A4")
    assert verdict(pdf) == "pass"
    text = unspaced("".join(pages_of(pdf, tmp_path)))
    assert all(unspaced(one.caption) in text for one in shown)
    assert "explained" not in record_of_pdf(pdf)["certificate"]
