"""An entry that is worth something at one of its two moments only: told, flagged, and closed.

Nobody passes a check by dating back, and an honest person has two ways out: to take it again, or to
have the manager accept it.
"""

from datetime import timedelta
from typing import Any
from uuid import UUID

import msgspec
import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event
from prep.queries.records import record_of
from prep.record.instrument.commands import Instrument, RecordInstrument
from prep.record.moments import Differs
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, TakeRole
from prep.record.unit.commands.flags import CloseFlag
from prep.record.unit.commands.receiving import SetLocation
from prep.record.unit.readiness import readiness
from prep.words.reader import ENGLISH
from prep.words.unit.flags import flag_text
from prep.words.unit.remarks import remark_texts
from tests.cast import WRENCH, Yard, days_ago
from tests.refusals import refused

DAY = timedelta(days=1)


def due_in(days: int) -> Instrument:
    """The wrench, due so many days from now."""
    due = (timezone.now() + days * DAY).date().isoformat()
    return msgspec.structs.replace(WRENCH, code="W-9", name="Torque wrench W-9", due=due)


def register(yard: Yard, instrument: Instrument, ago: float = 0) -> None:
    """The office records a tool, so many days ago."""
    with days_ago(ago):
        command = RecordInstrument(site=yard.site, instrument=instrument, reason="as it is")
        perform(command, actor=yard.otto)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit that came nine days ago, with the deck blocked and the cautions of the blades read."""
    with days_ago(9):
        unit = yard.started()
        yard.block_deck(unit)
        yard.acknowledge(unit, "blades")
    return unit


def torque(yard: Yard, unit: UUID, days: float, **more: Any) -> Any:
    """The torque of the left blade bolt, read so many days ago and entered now."""
    sent = Submission(happened=timezone.now() - days * DAY)
    where = {"position": "left", "instrument": "W-9", **more}
    return yard.take(unit, "blades", "torque", "450 ft lb", command=sent, **where).events


def origins(unit: UUID) -> list[str]:
    """What the open flags are about."""
    return [flag.about.origin for flag in record_of(unit).open_flags()]


def test_an_overdue_wrench_does_not_pass_by_last_springs_date(yard: Yard, unit: UUID) -> None:
    """Refused today; dated back to when it was in date, it is flagged and bars the release."""
    register(yard, due_in(-4), ago=20)
    refused("instrument-overdue", torque, yard, unit, 0)
    taken, flag = torque(yard, unit, 7)
    assert (taken.verdict, taken.overdue) == ("conforming", False)
    assert Differs("calibration", "happened") in taken.remarks
    assert flag.origin == "moments-differ"
    about = record_of(unit).flags[flag.flag].about
    assert flag_text(about, ENGLISH) == (
        "Blade bolt (left): the tool was in calibration when this was read, but overdue when "
        "it was entered. Take it again, or have a service manager accept it."
    )
    assert "flag-open" in {reason.code for reason in readiness(record_of(unit)).stock}


def test_such_a_flag_is_closed_by_a_new_reading_or_by_the_manager(yard: Yard, unit: UUID) -> None:
    """Not by saying that it is fixed, and not by another entry dated back."""
    register(yard, due_in(-4), ago=20)
    taken, flag = torque(yard, unit, 7)
    closing = CloseFlag(flag=flag.flag, text="It was in date then.")
    refused("needs-entry", perform, closing, actor=yard.ada, target=unit)
    again = {"supersedes": taken.reading, "reason": "Again"}
    taken = torque(yard, unit, 6, **again)[0]
    assert origins(unit) == ["moments-differ"]
    again = {"supersedes": taken.reading, "reason": "Taken again with a tool in date"}
    torque(yard, unit, 0, instrument="W-1", **again)
    assert origins(unit) == []
    torque(yard, unit, 7, position="right")
    assert origins(unit) == ["moments-differ"]
    yard.concede(unit, "The tool came due overnight (invented).")
    assert origins(unit) == []


def test_a_calibration_entered_later_neither_heals_nor_harms(yard: Yard, unit: UUID) -> None:
    """What was known at each moment counts for it, whatever date the calibration bears."""
    register(yard, due_in(-4), ago=20)
    sent = Submission(happened=timezone.now() - 5 * DAY)
    new = RecordInstrument(site=yard.site, instrument=due_in(300), reason="calibrated (invented)")
    perform(new, actor=yard.otto, submission=sent)  # entered now as of five days ago
    taken, flag = torque(yard, unit, 2)
    assert Differs("calibration", "recorded") in taken.remarks
    assert flag.origin == "moments-differ"
    assert len(torque(yard, unit, 0, position="right")) == 1


def test_an_entry_on_record_is_not_touched_by_what_is_entered_of_its_tool_later(
    yard: Yard, unit: UUID
) -> None:
    """It was right by all that was known when it was recorded."""
    register(yard, due_in(30), ago=20)
    with days_ago(2):
        taken = torque(yard, unit, 0)
    assert len(taken) == 1
    bad = msgspec.structs.replace(due_in(30), out_of_service="Found out of true (invented)")
    sent = Submission(happened=timezone.now() - 5 * DAY)
    command = RecordInstrument(site=yard.site, instrument=bad, reason="laboratory")
    perform(command, actor=yard.otto, submission=sent)
    assert origins(unit) == []
    refused("instrument-out-of-service", torque, yard, unit, 0, position="right")


def test_a_tool_put_out_of_service_between_the_two_moments(yard: Yard, unit: UUID) -> None:
    """Read in the morning without a signal, dropped at noon, sent in the evening."""
    register(yard, due_in(30), ago=20)
    dropped = msgspec.structs.replace(due_in(30), out_of_service="Dropped (invented)")
    register(yard, dropped, ago=0.2)
    taken, flag = torque(yard, unit, 0.4)
    assert remark_texts(taken.remarks, ENGLISH) == (
        "entered 10 h after it happened",
        "the tool was in service when this was read, but out of service when it was entered",
    )
    assert flag.origin == "moments-differ"


def test_a_tool_registered_with_an_earlier_date_vouches_for_nothing_before(
    yard: Yard, unit: UUID
) -> None:
    """It is dated before the reading, and nobody could have looked it up then."""
    sent = Submission(happened=timezone.now() - 8 * DAY)
    new = RecordInstrument(site=yard.site, instrument=due_in(300), reason="registered")
    perform(new, actor=yard.otto, submission=sent)
    taken, flag = torque(yard, unit, 7)
    assert Differs("on-record", "recorded") in taken.remarks
    assert flag.origin == "moments-differ"


def test_an_honest_entry_of_yesterday_has_no_flag(yard: Yard, unit: UUID) -> None:
    """The control: late, and otherwise as good as any."""
    register(yard, due_in(30), ago=20)
    (taken,) = torque(yard, unit, 1)
    assert [type(remark).__name__ for remark in taken.remarks] == ["Late"]


def test_a_reading_out_of_limit_says_both(yard: Yard, unit: UUID) -> None:
    """One box has one flag; whoever accepts it is told everything."""
    register(yard, due_in(-4), ago=20)
    sent = Submission(happened=timezone.now() - 7 * DAY)
    where = {"position": "left", "instrument": "W-9"}
    yard.take(unit, "blades", "torque", "600 ft lb", command=sent, **where)
    (flag,) = record_of(unit).open_flags()
    assert flag.about.origin == "reading"
    assert flag_text(flag.about, ENGLISH).endswith(
        "Also: the tool was in calibration when this was read, but overdue when it was entered."
    )


def hire(yard: Yard, ago: float) -> None:
    """Una gets a technician's role, so many days ago."""
    with days_ago(ago):
        role = GiveRole(person=yard.outsider.username, role=Role.TECHNICIAN)
        perform(role, actor=yard.otto, target=yard.site)


def test_who_was_hired_today_worked_nothing_last_week(yard: Yard, unit: UUID) -> None:
    """Readings and checks alike are flagged; of today they are as good as anybody's."""
    hire(yard, 1)
    with days_ago(0.5):
        yard.acknowledge(unit, "block", yard.outsider)
    sent = Submission(happened=timezone.now() - 3 * DAY)
    taken, flag = yard.take(
        unit, "pitch", "front", "4 in", actor=yard.outsider, command=sent
    ).events
    assert Differs("role", "recorded") in taken.remarks
    assert flag.origin == "moments-differ"
    assert len(yard.take(unit, "pitch", "finish", "good", actor=yard.outsider).events) == 1


def test_a_role_taken_and_given_again_was_not_held_between(yard: Yard, unit: UUID) -> None:
    """What counts is what was on record at that moment."""
    hire(yard, 8)
    with days_ago(6):
        gone = TakeRole(person=yard.outsider.username, role=Role.TECHNICIAN)
        perform(gone, actor=yard.otto, target=yard.site)
    hire(yard, 2)
    for days, flagged in ((7, False), (4, True), (1, False)):
        sent = Submission(happened=timezone.now() - days * DAY)
        entry = record_of(unit).boxes.get(("pitch", "front", ""))
        again = {"supersedes": entry.entries[-1].id, "reason": "again"} if entry else {}
        events = yard.take(
            unit, "pitch", "front", "4 in", actor=yard.outsider, command=sent, **again
        ).events
        assert any(e.__struct_config__.tag == "flag.raised" for e in events) is flagged


def test_what_is_no_entry_is_refused_to_who_held_no_role_then(yard: Yard, unit: UUID) -> None:
    """It can be done again now, with the time it is."""
    hire(yard, 1)
    moving: dict[str, Any] = {"actor": yard.outsider, "target": unit}
    early = Submission(happened=timezone.now() - 3 * DAY)
    no = refused("no-role-then", perform, SetLocation(place="Row B"), submission=early, **moving)
    assert no.details["roles"]
    perform(SetLocation(place="Row B"), **moving)
    assert Event.objects.filter(kind="unit.placed").count() == 1


def test_before_the_yard_was_opened_the_record_does_not_tell(yard: Yard) -> None:
    """A machine that stood here already is received as of the day it came."""
    unit = yard.receive(happened=timezone.now() - 55 * DAY, model="")
    received = record_of(unit).received
    assert received is not None
    assert received.recorded - received.happened > 54 * DAY
