"""A blank sheet: what the unit still needs, in order, cautions first, and whose sheet it is."""

import io
import re
from collections import Counter
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from pypdf import PdfReader
from reportlab.lib.pagesizes import A4, LETTER

from prep.actions.people import choose_language
from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.handwritten import mark_of, same_mark
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.steps import SkipStep
from prep.words.reader import Reader, say
from prep.words.rules.results import YES
from prep.words.unit.limits import BETWEEN
from reports import queue
from reports.blank_sheet.facts import blank_facts
from reports.blank_sheet.pdf import blank_pages
from reports.models import DocumentRequest
from tests.cast import DOCUMENTS, Yard
from tests.record.procedure import shipped
from tests.refusals import refused
from tests.reports.pdf_tools import in_order, needs_tools, pictures, qr_texts, words
from tests.stored_files import own_folders

READER = Reader(time_zone="America/Chicago")


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Files and keys of a test lie in its folder."""
    own_folders(settings, tmp_path)
    settings.ADDRESS = "https://yard.invented-implements.example"


def asked(yard: Yard, unit: UUID, actor: Any = None, **parameters: Any) -> DocumentRequest:
    """Ada asks for the blank sheet."""
    return queue.ask(
        actor=actor or yard.ada, kind="sheet", command=uuid4(), unit=unit, parameters=parameters
    )


def printed(yard: Yard, unit: UUID, **parameters: Any) -> bytes:
    """The blank sheet of a unit, made now."""
    request = asked(yard, unit, **parameters)
    queue.run_due()
    request.refresh_from_db()
    assert request.failure == ""
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def test_the_steps_stand_in_order_with_cautions_before_the_work(yard: Yard) -> None:
    """Caution, what to do, question, limit and its source, then initials, step by step."""
    text = " ".join(words(printed(yard, yard.started())).split())
    in_order(
        text,
        "The manufacturer's manual for this serial number, local codes",
        "1 Block the deck",
        "DANGER A raised deck falls.",
        "Raise the deck and set it on solid blocks.",
        "Deck stands on blocks",
        "cautions read (initials)",
        "2 Torque the blade bolts",
        "DANGER A raised deck falls.",
        "Tighten each blade bolt.",
        "Blade bolt",
        "Limit: 450 ± 22.5 ft·lbf",
        "manufacturer: Set-up manual TC-12, revision A (invented)",
        "torque wrench: code on its label",
        "left",
        "right",
        "second person (initials)",
        "3 Level fore and aft",
        "Limit: 3 in to 6 in",
    )


def test_every_page_says_whose_sheet_it_is_and_of_which_revision(yard: Yard) -> None:
    """Serial, procedure, mark and “page n of m” on each page: pages get apart."""
    unit = yard.started()
    reader = PdfReader(io.BytesIO(printed(yard, unit)))
    sheet = record_of(unit).sheet
    assert sheet is not None
    for number, page in enumerate(reader.pages, 1):
        text = page.extract_text()
        assert "Serial TC00001" in text
        assert "TC-SETUP, revision 1" in text
        assert f"Mark {sheet.digest[:4].upper()} {sheet.digest[4:8].upper()}" in text
        assert f"page {number} of" in text
    assert sheet.digest in "".join(words(printed(yard, unit)).split())


@needs_tools
@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_the_code_on_the_sheet_opens_the_unit(
    yard: Yard, tmp_path: Path, paper: str, size: tuple[float, float]
) -> None:
    """On either paper, printed in greys at 150 dots to the inch."""
    unit = yard.started()
    pdf = printed(yard, unit, paper=paper)
    first = pictures(pdf, tmp_path, 150)[0]
    assert qr_texts([first], tmp_path) == [
        f"https://yard.invented-implements.example/units/{unit}/"
    ]
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)


def test_a_yard_in_chicago_prints_on_letter_unasked(yard: Yard) -> None:
    """Common practice, no published source."""
    box = PdfReader(io.BytesIO(printed(yard, yard.started()))).pages[0].mediabox
    assert float(box.height) == 792


def test_what_is_settled_is_printed_as_settled(yard: Yard) -> None:
    """A signed step has no boxes, a skipped one its reason, an entered value stands in its box."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.take(unit, "blades", "torque", "450 ft lb", position="left", instrument="W-1")
    perform(SkipStep(step="pitch", reason="Leveled <at> port"), actor=yard.ada, target=unit)
    text = " ".join(words(printed(yard, unit)).split())
    assert "Deck stands on blocks" not in text
    assert "Done. Prepared by Ada Invented, " in text
    assert "left · in the record: 450 ft lb" in text
    assert "Marked not applicable: Leveled <at> port" in text


def test_steps_that_wait_for_the_tractor_are_printed_and_say_what_is_missing(yard: Yard) -> None:
    """The limit is not guessed; once the buyer is known, it is printed."""
    unit = yard.started()
    assert "Limit not known yet: This depends on the buyer's tractor." in " ".join(
        words(printed(yard, unit)).split()
    )
    yard.assign(unit)
    text = words(printed(yard, unit))
    assert "not known yet" not in text
    assert "exactly 6" in text


def test_a_sheet_is_written_in_the_language_of_whoever_asks(yard: Yard) -> None:
    """Its limits and answers are in Ada's Spanish; the procedure's texts stay as they are."""
    unit = yard.started()
    choose_language(actor=yard.ada, language="es")
    request = asked(yard, unit)
    assert request.parameters["language"] == "es"
    text = " ".join(words(printed(yard, unit)).split())
    spanish = Reader(language="es")
    assert say(spanish, BETWEEN, low="3 in", high="6 in") in text
    assert f"□ {say(spanish, YES)}" in text
    assert "Block the deck" in text
    assert say(spanish, YES) not in words(printed(yard, unit, language="en"))
    refused("no-such-language", asked, yard, unit, language="de")


def test_the_same_sheet_printed_twice_has_the_same_bytes(yard: Yard) -> None:
    """But for its number in the title."""
    unit = yard.started()
    facts = blank_facts(record_of(unit), READER, dealer="D", site="S", address="a")
    first, again, other = (blank_pages(facts, "A4", number, READER) for number in ("1", "1", "2"))
    assert first == again != other


@pytest.mark.parametrize("name", ["rotary-cutter-r1", "grain-cart-r2"])
def test_a_shipped_procedure_has_a_box_for_every_answer_it_asks(name: str) -> None:
    """Every position of every reading is named, and every check has its yes and no."""
    model = {"rotary-cutter-r1": "LF-RC15", "grain-cart-r2": "HM-C10"}[name]
    hand = shipped.started(model, name)
    facts = blank_facts(hand.record, READER, dealer="D", site="S", address="a")
    lines = [line for _, some in facts.sections for step in some for line in step.lines]
    text = words(blank_pages(facts, "A4", "S1", READER))
    ticks = sum(len(line.boxes) * (len(line.choices) or 2) for line in lines if not line.quantity)
    assert text.count("□") == ticks + sum(line.photo for line in lines)
    positions = Counter(one.position for line in lines for one in line.boxes if one.position)
    assert len(positions) > 4
    for position, times in positions.items():
        assert text.count(position) >= times


@pytest.mark.parametrize(
    "serial", ["<para>&lt;</para>", "W" * 60, "\N{TRACTOR}=1+1", "א1ב2 ءآ", "%(x)s{{7}}"]
)
def test_no_serial_breaks_a_sheet(yard: Yard, serial: str) -> None:
    """Markup, sixty letters, emoji, right to left: drawn as text, or shown as replaced."""
    unit = yard.started(serial=serial)
    text = "".join(words(printed(yard, unit)).split())
    assert "Blockthedeck" in text
    if serial.isascii():
        assert serial.replace(" ", "") in text


def test_a_sheet_of_a_newer_revision_bears_another_mark(yard: Yard) -> None:
    """So that a page of the old one is told from it at a glance."""
    unit = yard.started()
    old = record_of(unit).sheet
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    new = record_of(yard.started()).sheet
    assert old is not None
    assert new is not None
    assert mark_of(old.digest) != mark_of(new.digest)
    assert re.fullmatch("[0-9A-F]{4} [0-9A-F]{4}", mark_of(new.digest))


def test_a_mark_is_known_however_it_is_typed() -> None:
    """Spaces, dashes and small letters do not matter; another digit does."""
    digest = "4390 2aab".replace(" ", "") + "0" * 56
    for typed in ("4390 2AAB", "43902aab", " 4390-2aab "):
        assert same_mark(typed, digest)
    for typed in ("4390 2AAC", "4390", "", "4390 2AAB 0"):
        assert not same_mark(typed, digest)


def test_a_sheet_is_refused_with_what_to_do_first(yard: Yard) -> None:
    """Not started, of no unit, on a paper nobody makes, for a stranger or an auditor."""
    unit = yard.receive()
    refused("no-sheet", asked, yard, unit)
    perform(StartSheet(), actor=yard.ada, target=unit)
    refused("no-such-paper", asked, yard, unit, paper="A9")
    refused("no-such-unit", asked, yard, unit, yard.outsider)
    refused("not-allowed", asked, yard, unit, yard.rhea)
    refused("unit-missing", asked, yard, None)
    assert not DocumentRequest.objects.exists()
