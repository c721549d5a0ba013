"""What a shared tablet sent for somebody, in the documents that leave the house."""

import csv
import io
import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Person
from prep.record.unit.commands.entries import TakeReading
from reports import queue
from tests.cast import Yard
from tests.reports.pdf_tools import words
from tests.reports.sold_units import buyer_with_address, hand_over, made
from tests.stored_files import own_folders


def handed_over(yard: Yard, signer: Person) -> UUID:
    """A unit whose leveling Ada's tablet sent for Ben, signed by one of the two."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    for line, text in (("front", "4 in"), ("finish", "good")):
        reading = TakeReading(step="pitch", line=line, text=text)
        sent = Submission(author=yard.ben.username)
        perform(reading, actor=yard.ada, target=unit, submission=sent)
    yard.sign(unit, "pitch", signer)
    yard.assign(unit, buyer=buyer_with_address(yard))
    yard.match_tractor(unit)
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    return unit


def text_of(unit: UUID, kind: str) -> str:
    """The words of a unit's document."""
    with queue.open_file(made(unit, kind)) as opened:
        return " ".join(words(opened.read()).split())


def test_an_entry_signed_by_its_sender_stays_named_by_the_device(
    yard: Yard, settings: Any, tmp_path: Path
) -> None:
    """On the certificate, and in the table of the bundle."""
    own_folders(settings, tmp_path)
    unit = handed_over(yard, yard.ada)
    assert "entered by Ada Invented, named Ben Invented" in text_of(unit, "certificate")
    bundle = made(unit, "registration")
    with queue.open_file(bundle) as opened, zipfile.ZipFile(io.BytesIO(opened.read())) as archive:
        (table,) = (name for name in archive.namelist() if name.endswith("readings.csv"))
        rows = list(csv.DictReader(io.StringIO(archive.read(table).decode("utf-8-sig"))))
    named = {(row["line"], row["name"], row["named by device"]) for row in rows}
    assert ("front", "Ada Invented", "Ben Invented") in named
    assert ("torque", "Ada Invented", "") in named


def test_an_entry_signed_by_its_author_is_theirs(yard: Yard, settings: Any, tmp_path: Path) -> None:
    """The certificate names Ben, who signed for it."""
    own_folders(settings, tmp_path)
    text = text_of(handed_over(yard, yard.ben), "certificate")
    assert "entered by Ben Invented" in text
    assert "named Ben" not in text
