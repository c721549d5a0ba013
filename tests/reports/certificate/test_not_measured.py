"""What was not measured stands on the certificate as what it is, and is no reading."""

from pathlib import Path
from typing import Any

import pytest

from prep.actions.perform import perform
from prep.record.unit.commands.entries import OmitReading
from tests import stored_files
from tests.cast import Yard
from tests.reports import certificates
from tests.reports.certificates import record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced

pytestmark = needs_poppler
BECAUSE = "no level ground within a mile"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def test_a_box_left_unmeasured_is_told_with_its_reason_and_who_accepted_it(
    yard: Yard, tmp_path: Path
) -> None:
    """It is counted among no readings; the concession stands beside it."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    omitted = OmitReading(step="pitch", line="front", because=BECAUSE)
    perform(omitted, actor=yard.ada, target=unit)
    yard.take(unit, "pitch", "finish", "good")
    yard.concede(unit, "The buyer levels it himself (invented).")
    yard.sign(unit, "pitch")
    yard.release(unit)
    made = certificates.issued(certificates.only(unit))
    told = record_of_pdf(made.pdf)["certificate"]["stands_for"]
    assert told[0]["kind"] == "accepted-by-concession"
    assert BECAUSE in told[0]["text"]
    text = unspaced("".join(pages_of(made.pdf, tmp_path)))
    for words in (
        "1 reading was not measured, with a reason.",
        BECAUSE,
        "not measured",
        "The buyer levels it himself (invented).",
    ):
        assert unspaced(words) in text
