"""What a release stands for, on the certificate: for people in a table, for machines in full."""

from pathlib import Path
from typing import Any

import pytest

from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.unit.commands.releases import ReopenUnit
from prep.record.unit.stands_for import stands_for
from tests import stored_files
from tests.cast import NOT_THE_WORK, Yard
from tests.reports import certificates
from tests.reports.certificates import record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced

pytestmark = needs_poppler


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def test_a_certificate_says_what_its_release_stands_for(yard: Yard, tmp_path: Path) -> None:
    """A value near its limit and an earlier release that was withdrawn, with why."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.take(unit, "blades", "torque", "472 ft lb", position="left", instrument="W-1")
    yard.concede(unit)
    yard.take(unit, "blades", "torque", "450 ft lb", position="right", instrument="W-1")
    yard.sign(unit, "blades")
    yard.second(unit, "blades")
    yard.level(unit)
    yard.release(unit)
    withdrawing = ReopenUnit(reason="Misread.", nothing_because=NOT_THE_WORK)
    perform(withdrawing, actor=yard.mira, target=unit)
    yard.release(unit)
    made = certificates.issued(certificates.only(unit))
    told = record_of_pdf(made.pdf)["certificate"]["stands_for"]
    assert [item["kind"] for item in told] == [
        item.kind.value for item in stands_for(record_of(unit))
    ]
    near = next(item for item in told if item["kind"] == "near-limit")
    assert near["where"] == "Torque the blade bolts: Blade bolt (left)"
    assert NOT_THE_WORK in told[-1]["text"]
    text = unspaced("".join(pages_of(made.pdf, tmp_path)))
    for word in ("What this release stands for", "Close to the limit", "Earlier release withdrawn"):
        assert unspaced(word) in text
