"""The step page: a unit chosen beside a box, and a box that is not measured."""

import re

import pytest

from prep.models import Flag, Reading
from prep.queries.records import record_of
from tests.cast import Yard
from tests.pages.visitor import Enter, post, step_path


def options(page: str) -> list[tuple[str, bool]]:
    """The units offered in the first box, and whether each is chosen."""
    select = re.search(r'<select id="unit-1".*?</select>', page, re.DOTALL)
    assert select
    found = re.findall(r'<option value="([^"]*)"( selected)?>', select[0])
    return [(symbol, bool(chosen)) for symbol, chosen in found]


def test_the_unit_is_chosen_once_and_then_stays_with_the_person(yard: Yard, enter: Enter) -> None:
    """Nothing is chosen for whoever has not read this quantity; then their last unit is."""
    unit = yard.started()
    path = step_path(unit, "pitch")
    client = enter(yard.ada)
    assert not any(chosen for _, chosen in options(client.get(path).content.decode()))
    page = post(client, path, 409, do="reading", box="front|", text="110")
    assert "“110” in which unit?" in page
    post(client, path, do="reading", box="front|", text="110", unit="mm")
    reading = Reading.objects.get(unit=unit)
    assert (reading.raw, reading.canonical) == ("110", "110")
    assert ("mm", True) in options(client.get(path).content.decode())
    assert not any(chosen for _, chosen in options(enter(yard.ben).get(path).content.decode()))


def test_a_box_is_left_unmeasured_with_a_reason(yard: Yard, enter: Enter) -> None:
    """It is shown as what it is, with its flag, and can still be measured without a correction."""
    unit = yard.started()
    path = step_path(unit, "pitch")
    client = enter(yard.ada)
    post(client, path, do="omit", box="front|", because="no level ground")
    page = client.get(path).content.decode()
    assert "Not measured: no level ground" in page
    assert "Front tip height was not measured: “no level ground”" in page
    assert 'name="reason"' not in page
    current = record_of(unit).boxes["pitch", "front", ""].entries[-1].id
    post(client, path, do="reading", box="front|", text="4 in", supersedes=current)
    assert not Flag.objects.filter(unit=unit, open=True).exists()


@pytest.mark.parametrize("because", ["", "   "])
def test_without_a_reason_nothing_is_recorded(yard: Yard, enter: Enter, because: str) -> None:
    """And the box says so."""
    unit = yard.started()
    client = enter(yard.ada)
    page = post(client, step_path(unit, "pitch"), 409, do="omit", box="front|", because=because)
    assert 'role="alert"' in page
    assert Reading.objects.count() == 0


def test_a_reading_out_of_limit_offers_no_way_out_of_measuring(yard: Yard, enter: Enter) -> None:
    """The page offers only what the service would take."""
    unit = yard.started()
    path = step_path(unit, "pitch")
    client = enter(yard.ada)
    assert 'value="omit"' in client.get(path).content.decode()
    post(client, path, do="reading", box="front|", text="7 in")
    page = client.get(path).content.decode()
    assert "because-1" not in page
    refused = post(client, path, 409, do="omit", box="front|", because="the gauge broke")
    assert "already" in refused or "open flag" in refused
