"""Two records of one machine are joined: one goes on, the other ends, and nothing is lost."""

from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest

from prep.actions import sites
from prep.actions.index_rows import stored_rows
from prep.actions.perform import perform
from prep.models import Event, UnitCount
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.listing.page import page_of
from prep.queries.lists.units import UNITS
from prep.queries.records import record_of
from prep.record.commands import COMMANDS
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context, Role
from prep.record.site.commands import GiveRole, OpenSite
from prep.record.unit.commands.buyers import WithdrawBuyer
from prep.record.unit.commands.flags import RaiseFlag
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.plates import AttachPlate
from prep.record.unit.events.identity import JoinedInto, RecordJoined
from prep.record.unit.state import Cause
from prep.record.unit.views.index_rows import rows
from prep.verify.counts import counts
from prep.verify.index import units as index
from tests.cast import PIN, Yard
from tests.refusals import refused
from tests.stored_files import own_folders, picture

REASON = "Received twice: at the truck and from the papers"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def join(yard: Yard, into: UUID, joined: UUID, **more: Any) -> Any:
    """Mira joins the record of one unit to that of another."""
    command = JoinUnit(joined=joined, reason=REASON, pin=more.pop("pin", PIN))
    return perform(command, actor=more.pop("actor", yard.mira), target=into)


def found(yard: Yard, words: str = "") -> list[str]:
    """Serials in the list of units."""
    asked = asking(UNITS, {}, words=words, fields="serial")
    return [row["serial"] for row in page_of(asked, asker_of(yard.mira, UNITS), limit=50).rows]


def test_one_goes_on_and_the_other_says_where(yard: Yard) -> None:
    """Both histories stay, with who signed and why."""
    into, joined = yard.started(serial="TC100"), yard.receive("TC700")
    before = record_of(joined).version
    event = join(yard, into, joined).events[0]
    assert isinstance(event, RecordJoined)
    assert (event.unit, event.serial, event.version) == (str(joined), "TC700", before)
    ended = record_of(joined).joined_into
    assert ended
    assert isinstance(ended[0], JoinedInto)
    assert (ended[0].unit, ended[0].serial, ended[0].reason) == (str(into), "TC100", REASON)
    assert ended[1].name == "Mira Invented"
    assert record_of(into).former_serials == ("TC700",)
    for unit in (into, joined):
        stored, fresh = stored_rows(unit)["unit"], rows(record_of(unit)).unit
        assert {name: stored[name] for name in fresh} == fresh


def test_lists_hide_it_search_finds_the_other_and_counts_are_right(yard: Yard) -> None:
    """And what a verification says of index and counts."""
    into, joined = yard.receive("TC100"), yard.receive("TC700")
    perform(RaiseFlag(text="Decal torn"), actor=yard.ada, target=joined)
    join(yard, into, joined)
    assert found(yard) == ["TC100"]
    assert found(yard, "TC700") == ["TC100"]
    here = dict(UnitCount.objects.values_list("facet", "units"))
    assert (here["here"], here["not"], here["flags"]) == (1, 1, 0)
    assert list(counts(lambda *_: None)) == list(index(lambda *_: None)) == []


def test_nothing_more_is_entered_in_a_record_that_ended(yard: Yard) -> None:
    """Whatever the command, by whoever may otherwise give it."""
    into, joined = yard.receive("TC100"), yard.started(serial="TC700")
    join(yard, into, joined)
    record = record_of(joined)
    now = record.recorded
    assert now
    context = Context(Actor("1", "Anybody", frozenset(Role)), now, now, uuid4())
    for command in COMMANDS.values():
        if command.stream != "unit" or command.creates or not command.offered:
            continue
        with pytest.raises(Refusal) as caught:
            command.guard(record, context)
        assert caught.value.code == "joined-away", command.tag()
        assert caught.value.details == {"unit": str(into), "serial": "TC100"}


def test_its_serial_is_free_and_its_release_ends(yard: Yard) -> None:
    """The number may be another machine's; what was released there is not delivered."""
    into, joined = yard.receive("TC100"), yard.prepared()
    yard.release(joined)
    serial = record_of(joined).serial
    join(yard, into, joined)
    ended = record_of(joined).releases[-1]
    assert (ended.cause, ended.reason) == (Cause.JOINED, REASON)
    assert yard.receive(serial) != joined


def test_the_sold_record_goes_on_and_two_buyers_are_two_machines(yard: Yard) -> None:
    """The other way round is refused, and says so; a wrong sale is canceled first."""
    stock, sold, other = yard.receive("TC100"), yard.receive("TC700"), yard.receive("TC800")
    yard.assign(sold)
    yard.assign(other)
    refused("join-the-other-way", join, yard, stock, sold)
    refused("join-two-buyers", join, yard, sold, other)
    perform(WithdrawBuyer(reason="Sold twice"), actor=yard.sol, target=other)
    join(yard, sold, other)
    join(yard, sold, stock)
    assert record_of(sold).former_serials == ("TC800", "TC100")


def test_handed_over_it_goes_on_as_well(yard: Yard) -> None:
    """The duplicate turned up afterwards."""
    gone = yard.ready()
    yard.release(gone)
    yard.hand_over(gone)
    duplicate = yard.receive("TC700")
    refused("join-the-other-way", join, yard, duplicate, gone)
    join(yard, gone, duplicate)
    assert record_of(gone).handover
    perform(AttachPlate(), actor=yard.ada, target=gone, attachment=picture())


def test_who_may_not_joins_nothing(yard: Yard) -> None:
    """Another role, another PIN, itself, one that ended, one that is not there."""
    into, joined, third = yard.receive("TC100"), yard.receive("TC700"), yard.receive("TC800")
    refused("not-allowed", join, yard, into, joined, actor=yard.ada)
    refused("pin-wrong", join, yard, into, joined, pin="0000")
    refused("join-itself", join, yard, into, into)
    refused("no-such-unit", join, yard, into, uuid4())
    join(yard, into, joined)
    refused("joined-away", join, yard, joined, third)
    refused("joined-away", join, yard, third, joined)


def test_another_yard_is_hidden_or_named(yard: Yard) -> None:
    """A stranger's unit does not exist; where the manager works too, yards are not mixed."""
    site = OpenSite(site="south", name="South yard", time_zone="America/Chicago", dealer="Inv")
    sites.open_site(site, founder=yard.otto)
    for who in (yard.ben, yard.outsider):
        role = GiveRole(person=who.username, role=Role.TECHNICIAN)
        perform(role, actor=yard.otto, target="south")
    here = yard.receive("TC100")
    yard.site, yard.ada = "south", yard.ben
    there = yard.receive("TC700")
    refused("no-such-unit", join, yard, here, there)
    mira = GiveRole(person=yard.mira.username, role=Role.TECHNICIAN)
    perform(mira, actor=yard.otto, target="south")
    no = refused("not-allowed-there", join, yard, here, there)
    assert no.details["site"] == "south"
    mira = GiveRole(person=yard.mira.username, role=Role.SERVICE_MANAGER)
    perform(mira, actor=yard.otto, target="south")
    refused("join-other-yard", join, yard, here, there)
    assert not Event.objects.filter(kind="unit.joined_into").exists()
