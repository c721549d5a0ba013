"""What is asked of a list: filters, words, fields; what is unknown is named with what is known."""

from typing import Any

import pytest

from prep.actions.perform import perform
from prep.models import Person
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.listing.declaration import Kind
from prep.queries.listing.page import page_of
from prep.record.unit.commands.receiving import SetLocation
from reports.lists.all_lists import LISTS
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few
from tests.refusals import refused

pytestmark = pytest.mark.django_db
UNITS = LISTS["units"]


def serials(who: Person, words: str = "", **filters: str) -> list[str]:
    """Serials of the units found, in order."""
    asked = asking(UNITS, filters, words=words, order="serial", fields="serial")
    return [row["serial"] for row in page_of(asked, asker_of(who, UNITS)).rows]


def test_filters_narrow_and_combine(yard: Yard) -> None:
    """Each of them, and two together."""
    with_a_few(yard)
    assert serials(yard.sol, sold="true") == ["TC00001"]
    assert serials(yard.sol, ready_for_stock="true", in_yard="true") == ["TC00002"]
    assert serials(yard.sol, open_flags="true") == ["TC00003"]
    assert serials(yard.sol, in_yard="true", sold="false", open_flags="false") == [
        "TC00002",
        "TC00004",
        "TC00005",
    ]
    assert serials(yard.sol, state="handed-over") == ["TC00001"]
    assert serials(yard.sol, registration="due") == ["TC00001"]
    assert serials(yard.sol, received_since="2099-01-01T00:00:00Z") == []


def test_sales_asks_which_is_ready_and_which_will_be_soonest(yard: Yard) -> None:
    """Free ones that are ready, the oldest first; then those with the least left to do."""
    begun = yard.started()
    yard.block_deck(begun)
    waiting, ready = yard.started(), yard.prepared()
    sold = yard.prepared()
    yard.assign(sold)
    asked = asking(UNITS, {"sold": "false", "in_yard": "true"}, order="soonest", fields="id")
    found = page_of(asked, asker_of(yard.sol, UNITS)).rows
    assert [row["id"] for row in found] == [ready, begun, waiting]


def test_words_combine_in_any_order(yard: Yard) -> None:
    """A part of the serial, the model, the location: each word somewhere in the unit."""
    units = with_a_few(yard)
    perform(SetLocation(place="Row C, bay 4"), actor=yard.ada, target=units[2])
    assert serials(yard.sol, words="larkfield 0003") == ["TC00003"]
    assert serials(yard.sol, words="0003 LARKFIELD bay") == ["TC00003"]
    assert serials(yard.sol, words="0003 elsewhere") == []
    assert serials(yard.sol, words="T-90") == ["TC00001"]
    assert serials(yard.sol, words="preparation 0004") == ["TC00004"]
    assert serials(yard.sol, words="handed over") == ["TC00001"]


def test_a_serial_read_at_a_glance_finds_the_unit(yard: Yard) -> None:
    """O for 0, as it is called over the yard."""
    with_a_few(yard)
    assert serials(yard.sol, words="TCOOOO3") == ["TC00003"]


def test_the_desk_finds_a_unit_by_its_buyer_and_a_technician_does_not(yard: Yard) -> None:
    """Technicians do not see buyers, and so cannot search for them either."""
    with_a_few(yard)
    assert serials(yard.sol, words="fen farm") == ["TC00001"]
    assert serials(yard.ada, words="fen farm") == []


def test_nobody_lists_what_another_yard_has(yard: Yard) -> None:
    """Somebody without a role anywhere sees no list at all."""
    with_a_few(yard)
    refused("not-allowed", asker_of, yard.outsider, UNITS)


def test_a_technician_may_not_list_buyers(yard: Yard) -> None:
    """Addresses are for the desk."""
    refused("not-allowed", asker_of, yard.ada, LISTS["buyers"])


@pytest.mark.parametrize(
    ("code", "asked"),
    [
        ("no-such-filter", {"filters": {"colour": "red"}}),
        ("no-such-field", {"filters": {}, "fields": "serial,colour"}),
        ("no-such-order", {"filters": {}, "order": "colour"}),
        ("not-a-choice", {"filters": {"state": "sold"}}),
        ("not-a-choice", {"filters": {"sold": "maybe"}}),
        ("moment-unclear", {"filters": {"received_since": "yesterday"}}),
        ("moment-unclear", {"filters": {"received_since": "2026-03-02T08:00:00"}}),
        ("moment-unclear", {"filters": {"received_since": "9999-12-31T23:59:59Z"}}),
        ("moment-unclear", {"filters": {"received_since": "0001-01-01T00:00:00Z"}}),
        ("search-too-long", {"filters": {}, "words": "a b c d e f g h i"}),
    ],
)
def test_what_a_list_does_not_know_is_refused(code: str, asked: dict[str, Any]) -> None:
    """And nothing is left out silently."""
    no = refused(code, asking, UNITS, **asked)
    if code.startswith("no-such"):
        assert no.details["known"]


def test_every_field_of_every_list_can_be_asked_for(yard: Yard) -> None:
    """Alone, and in the order it was asked for."""
    with_a_few(yard)
    for listing in LISTS.values():
        asker = asker_of(yard.otto, listing)
        names = [one.name for one in listing.fields]
        backwards = asking(listing, {}, fields=",".join(reversed(names)))
        for row in page_of(backwards, asker).rows:
            assert list(row) == list(reversed(names))


def test_every_filter_of_every_list_is_taken(yard: Yard) -> None:
    """With a value of its kind."""
    values = {
        Kind.YES_NO: ("true", "false"),
        Kind.MOMENT: ("2026-03-02T08:00:00Z",),
        Kind.ID: ("6f1d2f6a-7a0e-4b5e-9c1b-0f6f3a1d5b11",),
        Kind.NUMBER: ("1",),
        Kind.DAY: ("2026-03-02",),
    }
    with_a_few(yard)
    for listing in LISTS.values():
        asker = asker_of(yard.otto, listing)
        for one in listing.filters:
            for value in one.choices or values.get(one.kind, ("north",)):
                assert page_of(asking(listing, {one.name: value}), asker).rows is not None
