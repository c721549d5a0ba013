"""Whose an instrument is: the yard on record says so, whatever a command says."""

from typing import Any

import pytest

from prep.actions import sites
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Instrument, Person
from prep.record.instrument.commands import MoveInstrument, RecordInstrument
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.site.yard_commands import OpenSite
from prep.verify.run import verify
from tests.cast import WRENCH, Yard
from tests.refusals import refused


@pytest.fixture
def south(yard: Yard) -> Person:
    """Una, who manages another yard."""
    opened = OpenSite(site="south", name="South yard", time_zone="America/Chicago", dealer="Inv")
    sites.open_site(opened, founder=yard.otto)
    give(yard, yard.outsider, "south")
    return yard.outsider


def give(yard: Yard, person: Person, site: str, role: Role = Role.SERVICE_MANAGER) -> None:
    """A role at a yard."""
    perform(GiveRole(person=person.username, role=role), actor=yard.otto, target=site)


def at(code: str = "W-1") -> str:
    """The yard an instrument is at."""
    return str(Instrument.objects.values_list("site_id", flat=True).get(pk=code))


def record(site: str, **more: Any) -> RecordInstrument:
    """The wrench, as a yard records it."""
    return RecordInstrument(site=site, instrument=WRENCH, reason="calibrated", **more)


def test_no_yard_takes_anothers_tool_by_recording_it(yard: Yard, south: Person) -> None:
    """Neither who works there alone nor who keeps the tools of both yards."""
    no = refused("instrument-of-another-yard", perform, record("south"), actor=south)
    assert no.details == {"instrument": "W-1"}
    give(yard, yard.mira, "south")
    refused("instrument-of-another-yard", perform, record("south"), actor=yard.mira)
    assert at() == yard.site


def test_who_keeps_the_tools_of_both_yards_moves_one(yard: Yard, south: Person) -> None:
    """From then on it is the other's, and its former yard reads with it no more."""
    give(yard, yard.mira, "south")
    moving = MoveInstrument(site=yard.site, to="south", reason="More work there (invented)")
    same = Submission()
    perform(moving, actor=yard.mira, target="W-1", submission=same)
    assert at() == "south"
    assert perform(moving, actor=yard.mira, target="W-1", submission=same).repeated
    moved = Event.objects.get(kind="instrument.moved")
    assert (moved.stream_id, moved.version, moved.actor_name) == ("W-1", 2, "Mira Invented")
    perform(record("south"), actor=south)
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    refused(
        "no-such-instrument", yard.take, unit, "blades", "torque", "450 ft lb", instrument="W-1"
    )
    assert not [one for one in verify().findings if one.sort == "instrument"]


def test_moving_needs_the_role_at_both_yards(yard: Yard, south: Person) -> None:
    """Una may not fetch it, Mira may not send it, a technician there is not enough."""
    moving = MoveInstrument(site=yard.site, to="south", reason="r")
    refused("no-such-instrument", perform, moving, actor=south, target="W-1")
    refused("no-such-site", perform, moving, actor=yard.mira, target="W-1")
    give(yard, yard.mira, "south", Role.TECHNICIAN)
    refused("not-allowed-there", perform, moving, actor=yard.mira, target="W-1")
    assert at() == yard.site


def test_a_tool_that_was_moved_meanwhile_is_not_moved_again(yard: Yard, south: Person) -> None:
    """The second of two who send it on looked at the yard where it is no more."""
    give(yard, yard.mira, "south")
    moving = MoveInstrument(site=yard.site, to="south", reason="r")
    perform(moving, actor=yard.mira, target="W-1")
    refused("instrument-of-another-yard", perform, moving, actor=yard.mira, target="W-1")
    to_itself = MoveInstrument(site="south", to="south", reason="r")
    refused("nothing-changed", perform, to_itself, actor=yard.mira, target="W-1")
    refused("no-such-instrument", perform, moving, actor=yard.mira, target="W-77")
