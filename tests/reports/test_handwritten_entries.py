"""What was copied from paper, in the documents that leave the house."""

import csv
import io
import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from prep.actions.beside_the_log.pictures import read_picture
from prep.actions.perform import perform
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.commands.handwritten import AttachPage, PaperSource
from prep.record.unit.events import PhotoAttached
from reports import queue
from tests.cast import Yard
from tests.reports.pdf_tools import in_order, words
from tests.reports.sold_units import buyer_with_address, hand_over, made
from tests.stored_files import own_folders, picture


@pytest.fixture
def unit(yard: Yard, settings: Any, tmp_path: Path) -> UUID:
    """A unit handed over; Ben copied the leveling that Ada had written down."""
    own_folders(settings, tmp_path)
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    page = perform(AttachPage(), actor=yard.ben, target=unit, attachment=picture()).events[0]
    assert isinstance(page, PhotoAttached)
    source = PaperSource(UUID(page.photo), yard.ada.username, timezone.now())
    for line, text in (("front", "4 in"), ("finish", "good")):
        reading = TakeReading(step="pitch", line=line, text=text, paper=source)
        perform(reading, actor=yard.ben, target=unit)
    yard.sign(unit, "pitch")
    yard.assign(unit, buyer=buyer_with_address(yard))
    yard.match_tractor(unit)
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    return unit


def test_certificate_and_bundle_say_who_wrote_and_who_copied(yard: Yard, unit: UUID) -> None:
    """In words beside the reading, in the table's columns, and with the picture of the page."""
    with queue.open_file(made(unit, "certificate")) as opened:
        text = " ".join(words(opened.read()).split())
    assert text.count("copied from paper: written by Ada Invented on") == 2
    assert text.count("copied by Ben Invented on") == 2
    assert "handwritten sheet" in text
    in_order(text, "Level fore and aft", "written on paper by Ada Invented", "prepared by Ada")
    bundle = made(unit, "registration")
    assert bundle.failure == ""
    with queue.open_file(bundle) as opened, zipfile.ZipFile(io.BytesIO(opened.read())) as archive:
        names = archive.namelist()
        (table,) = (name for name in names if name.endswith("readings.csv"))
        rows = list(csv.DictReader(io.StringIO(archive.read(table).decode("utf-8-sig"))))
        (page,) = (name for name in names if name.endswith("001-paper-sheet.jpg"))
        assert archive.read(page) == read_picture(picture()).large.content
    copied = [row for row in rows if row["copied from paper"] == "yes"]
    assert [row["line"] for row in copied] == ["front", "finish"]
    assert {(row["written by"], row["name"]) for row in copied} == {
        ("Ada Invented", "Ben Invented")
    }
