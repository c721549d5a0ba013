"""A setting is shown as a setting: in tables, on the certificate, on the blank sheet."""

from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from prep.queries.records import record_of
from prep.words.reader import ENGLISH, Reader
from reports.blank_sheet.facts import blank_facts
from reports.bundles import columns, csv_tables
from reports.certificate.facts import BoxFacts
from reports.certificate.gather.sheet import sections
from tests.cast import Yard
from tests.setting_sheets import set_wrench, with_settings
from tests.stored_files import own_folders

CHICAGO = ZoneInfo("America/Chicago")


@pytest.fixture
def gone_over(yard: Yard, settings: Any, tmp_path: Path) -> UUID:
    """A unit whose bolts at the left were gone over: six, two of them moved."""
    own_folders(settings, tmp_path)
    unit = with_settings(yard)
    set_wrench(yard, unit, "610 Nm", moved=2)
    return unit


def boxes(unit: UUID) -> list[BoxFacts]:
    """The boxes of the bolts as a certificate has them."""
    found = sections(record_of(unit), CHICAGO, ENGLISH)
    return [
        box for one in found for step in one.steps for box in step.boxes if step.step == "blades"
    ]


def test_the_certificate_says_what_the_wrench_was_set_to_and_gives_no_reading(
    gone_over: UUID,
) -> None:
    """In the unit of its limit, then the counts, then as people elsewhere read it."""
    left = boxes(gone_over)[0].current
    assert left is not None
    assert (left.value, left.canonical, left.stated) == ("", "", "")
    assert left.setting is not None
    assert left.setting.stated == "set to 450 ft·lbf"
    assert left.setting.beside == "typed: 610 Nm · 6 of 6 gone over, 2 moved"
    assert (left.setting.checked, left.setting.fasteners, left.setting.moved) == (6, 6, 2)
    assert left.uncertainty


def test_a_table_has_the_setting_in_columns_of_its_own(gone_over: UUID) -> None:
    """No value, no canonical value."""
    record = record_of(gone_over)
    [row] = [
        dict(zip(columns.READINGS, one, strict=True))
        for one in csv_tables.reading_rows(str(gone_over), record, ENGLISH)
        if one[3] == "blades"
    ]
    assert (row["value"], row["value unit"], row["canonical value"]) == ("", "", "")
    assert (row["set to"], row["set to unit"]) == ("610", "N·m")
    assert (row["fasteners"], row["gone over"], row["moved"]) == ("6", "6", "2")
    assert row["verdict"] == "setting-in-limit"


def test_the_blank_sheet_asks_for_the_setting_and_the_counts(gone_over: UUID) -> None:
    """What is known already stands in the box."""
    facts = blank_facts(
        record_of(gone_over),
        Reader(time_zone="America/Chicago"),
        dealer="Invented",
        site="North",
        address="",
    )
    [line] = [
        line
        for _, steps in facts.sections
        for step in steps
        for line in step.lines
        if line.ask == "Blade bolt"
    ]
    assert (line.setting, line.fasteners) == (True, 6)
    assert [box.entered for box in line.boxes] == [
        "set to 450 ft·lbf, 6 of 6 gone over, 2 moved",
        "",
    ]
