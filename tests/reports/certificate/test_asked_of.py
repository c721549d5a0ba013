"""The certificate says on what suspicion a line was answered."""

from pathlib import Path
from typing import Any

import pytest

from tests import stored_files
from tests.cast import Yard
from tests.record.unit.test_asked_of import started
from tests.reports import certificates
from tests.reports.certificates import record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced

pytestmark = needs_poppler


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def test_a_suspicion_is_told_with_its_reason_and_apart_from_a_correction(
    yard: Yard, tmp_path: Path
) -> None:
    """The second entry's reason says why the first went; what was suspected stays the same."""
    unit = started(yard)
    yard.block_deck(unit)
    yard.torque_blades(unit)
    first = yard.take(unit, "pitch", "runout", "0.2 in", reason="Shakes at full speed").events[0]
    why = {"supersedes": first.reading, "reason": "Read beside the hub"}
    yard.take(unit, "pitch", "runout", "0.02 in", **why)
    yard.take(unit, "pitch", "play", "0.01 in")
    yard.level(unit)
    yard.release(unit)
    made = certificates.issued(certificates.only(unit))
    steps = record_of_pdf(made.pdf)["certificate"]["sections"][1]["steps"]
    suspected = {box["ask"]: box["suspected"] for box in steps[0]["boxes"]}
    assert suspected == {
        "Front tip height": "",
        "Hub play": "",
        "Run-out": "Shakes at full speed",
        "Paint": "",
    }
    text = unspaced("".join(pages_of(made.pdf, tmp_path)))
    assert unspaced("suspected: Shakes at full speed") in text
    assert unspaced("Replaced because: Read beside the hub") in text
