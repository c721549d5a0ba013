"""The moment a command says it happened at: its bounds, on every kind of stream and by every way.

Each refused one is proven to have changed nothing.
"""

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer
from prep.record.instrument.commands import RecordInstrument
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.commands.flags import CloseFlag, RaiseFlag
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.receiving import ReceiveUnit, SetLocation
from prep.record.unit.commands.releases import ReleaseUnit, ReopenUnit, sheet_digest
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.steps import CheckStep, ReopenStep, SignStep
from tests.cast import DOCUMENTS, NOT_THE_WORK, PIN, TAPE, WRENCH, Yard, add_buyer, seen
from tests.record.unit.handwriting import attached, by_ada, copy
from tests.refusals import refused
from tests.stored_files import own_folders

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def ago(span: timedelta) -> Submission:
    """A command that happened this long ago, by its device."""
    return Submission(happened=timezone.now() - span)


@pytest.mark.parametrize(
    ("span", "code"),
    [
        (timedelta(days=60, seconds=5), "happened-too-long-ago"),
        (-timedelta(minutes=2, seconds=5), "happened-in-future"),
    ],
)
def test_the_first_event_of_every_stream_is_bound_on_both_sides(
    yard: Yard, span: timedelta, code: str
) -> None:
    """A unit, a buyer, an instrument, a model, a procedure."""
    model = (DOCUMENTS / "model.yaml").read_text()
    procedure = (DOCUMENTS / "procedure.yaml").read_text()
    firsts = (
        (ReceiveUnit(site=yard.site, maker="Larkfield", serial="TC90001"), yard.ada),
        (AddBuyer(site=yard.site, name="Fen Farm (invented)"), yard.sol),
        (
            RecordInstrument(
                site=yard.site, instrument=msgspec.structs.replace(TAPE, code="M-9"), reason="new"
            ),
            yard.otto,
        ),
        (PublishModel(document=model.replace("model: TC-12", "model: TC-13")), yard.otto),
        (
            PublishProcedure(
                document=procedure.replace("procedure: TC-SETUP", "procedure: TC-OTHER")
            ),
            yard.otto,
        ),
    )
    for command, actor in firsts:
        refused(code, perform, command, actor=actor, submission=ago(span))


def test_nothing_later_in_a_stream_happened_before_its_first_event(yard: Yard) -> None:
    """A role at a yard, a calibration, a location: whatever the stream."""
    unit = yard.receive(happened=timezone.now() - HOUR)
    long_before: dict[str, Any] = {"submission": ago(55 * DAY)}
    refused(
        "happened-before-start",
        perform,
        GiveRole(person=yard.ben.username, role=Role.SALES),
        actor=yard.otto,
        target=yard.site,
        **long_before,
    )
    refused(
        "happened-before-start",
        perform,
        RecordInstrument(site=yard.site, instrument=WRENCH, reason="calibrated"),
        actor=yard.otto,
        **long_before,
    )
    refused(
        "happened-before-start",
        perform,
        SetLocation(place="Row B"),
        actor=yard.ada,
        target=unit,
        **long_before,
    )


def test_a_unit_is_not_received_before_its_model_was_published(yard: Yard) -> None:
    """The way out stands in the refusal: receive it without a model, and set that afterwards."""
    no = refused("happened-before-model", yard.receive, happened=timezone.now() - 51 * DAY)
    assert no.details["name"] == "Larkfield TC-12 trailed cutter"
    unit = yard.receive(happened=timezone.now() - 51 * DAY, model="")
    assert record_of(unit).model is None


def test_a_sheet_is_not_started_before_its_procedure_came_into_force(yard: Yard) -> None:
    """The revision that came this morning was not worked by yesterday."""
    unit = yard.receive(happened=timezone.now() - 2 * DAY)
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    start: dict[str, Any] = {"actor": yard.ada, "target": unit}
    refused("happened-before-procedure", perform, StartSheet(), submission=ago(DAY), **start)
    perform(StartSheet(), **start)


def test_a_tool_was_not_used_before_it_was_registered(yard: Yard) -> None:
    """A reading of yesterday with a wrench that is on record since today."""
    unit = yard.started(happened=timezone.now() - 2 * DAY)
    new = msgspec.structs.replace(TAPE, code="M-9", name="Tape M-9")
    perform(RecordInstrument(site=yard.site, instrument=new, reason="new"), actor=yard.otto)
    yard.take(unit, "pitch", "front", "4 in")  # a line that needs no tool, now
    no = refused(
        "happened-before-instrument",
        yard.take,
        unit,
        "pitch",
        "front",
        "4 in",
        instrument="M-9",
        command=ago(HOUR),
    )
    assert no.details["name"] == "Tape M-9"


def test_a_unit_is_not_sold_to_a_buyer_before_there_was_one(yard: Yard) -> None:
    """The buyer was entered now, the sale says an hour ago."""
    unit = yard.receive(happened=timezone.now() - DAY)
    buyer = add_buyer(AddBuyer(site=yard.site, name="Fen Farm (invented)"), actor=yard.sol)
    sale = AssignBuyer(buyer=buyer.pk, tractor="T-90")
    refused(
        "happened-before-buyer", perform, sale, actor=yard.sol, target=unit, submission=ago(HOUR)
    )


@pytest.fixture
def worked(yard: Yard) -> UUID:
    """A unit received two days ago, with a step done an hour ago and opened again just now."""
    unit = yard.receive(happened=timezone.now() - 2 * DAY)
    perform(StartSheet(), actor=yard.ada, target=unit, submission=ago(DAY))
    for line, text in (("front", "4 in"), ("finish", "good")):
        yard.take(unit, "pitch", line, text, command=ago(2 * HOUR))
    yard.sign(unit, "pitch")
    perform(ReopenStep(step="pitch", reason="tire changed"), actor=yard.ada, target=unit)
    return unit


def test_an_entry_from_before_the_step_was_opened_again_does_not_count(
    yard: Yard, worked: UUID, settings: Any, tmp_path: Path
) -> None:
    """By the tablet's clock as by the paper; the person does the step again."""
    no = refused(
        "happened-before-reopening",
        yard.take,
        worked,
        "pitch",
        "front",
        "4 in",
        command=ago(HOUR),
    )
    assert no.field == ""
    own_folders(settings, tmp_path)
    source = by_ada(yard, attached(yard, worked), hours_ago=1)
    no = refused("happened-before-reopening", copy, yard, worked, source)
    assert no.field == "paper.written"
    yard.take(worked, "pitch", "front", "4 in")


def test_nothing_is_entered_from_before_the_sheet(yard: Yard, worked: UUID) -> None:
    """The unit was there, its sheet was not."""
    refused(
        "happened-before-sheet",
        yard.take,
        worked,
        "drawbar",
        "distance",
        "14 in",
        command=ago(30 * HOUR),
    )


def signing(yard: Yard, unit: UUID, step: str, command: type, span: timedelta) -> Any:
    """A signature on a step, dated back."""
    actor = yard.ada if command is SignStep else yard.ben
    sign = command(step=step, seen=seen(unit, step), pin=PIN)
    return perform(sign, actor=actor, target=unit, submission=ago(span))


def test_a_signature_is_not_older_than_what_it_signs(yard: Yard) -> None:
    """Neither that of who did the work, nor the second person's, nor the manager's."""
    unit = yard.started(happened=timezone.now() - DAY)
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    for side in ("left", "right"):
        yard.take(unit, "blades", "torque", "450 ft lb", position=side, instrument="W-1")
    refused("happened-before-work", signing, yard, unit, "blades", SignStep, HOUR)
    yard.sign(unit, "blades")
    refused("happened-before-work", signing, yard, unit, "blades", CheckStep, HOUR)
    yard.second(unit, "blades")
    yard.level(unit)
    release = ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN)
    manager: dict[str, Any] = {"actor": yard.mira, "target": unit}
    refused("happened-before-work", perform, release, submission=ago(HOUR), **manager)
    yard.release(unit)
    withdrawing = ReopenUnit(reason="Slip", nothing_because=NOT_THE_WORK)
    refused("happened-before-release", perform, withdrawing, submission=ago(HOUR), **manager)


def test_a_handover_is_not_older_than_the_release(yard: Yard) -> None:
    """The registration counts its days from it."""
    unit = yard.started(happened=timezone.now() - DAY)
    yard.block_deck(unit)
    yard.torque_blades(unit)
    yard.level(unit)
    yard.assign(unit)
    yard.match_tractor(unit)
    yard.release(unit)
    handing = HandOver(
        recipient="Wes Fen (invented)",
        relation="owner",
        language="English",
        shown=MUST_SHOW,
        manual_given=True,
        pin=PIN,
    )
    refused(
        "happened-before-release",
        perform,
        handing,
        actor=yard.sol,
        target=unit,
        submission=ago(HOUR),
    )


def test_a_flag_is_not_closed_before_it_was_raised(yard: Yard) -> None:
    """What was fixed an hour ago was not reported just now."""
    unit = yard.receive(happened=timezone.now() - DAY)
    perform(RaiseFlag(text="Decal torn"), actor=yard.sol, target=unit)
    closing = CloseFlag(flag=record_of(unit).open_flags()[0].id, text="New decal")
    refused(
        "happened-before-flag", perform, closing, actor=yard.ada, target=unit, submission=ago(HOUR)
    )


def test_within_what_a_clock_is_off_a_moment_is_moved_to_its_bound(yard: Yard) -> None:
    """A tablet ninety seconds behind loses nothing."""
    unit = yard.receive(happened=timezone.now() - DAY)
    started = perform(StartSheet(), actor=yard.ada, target=unit)
    assert started.record.sheet_started is not None
    begun: datetime = started.record.sheet_started.happened
    taken = perform(
        TakeReading(step="pitch", line="front", text="4 in"),
        actor=yard.ada,
        target=unit,
        submission=Submission(happened=begun - timedelta(seconds=90)),
    )
    entry = taken.record.boxes["pitch", "front", ""].current
    assert entry is not None
    assert entry.stamp.happened == begun
