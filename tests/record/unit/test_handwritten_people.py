"""Copying entries from handwritten pages: who may write, copy and sign, and in which order."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.models import Photo
from prep.queries.records import record_of
from prep.record.instrument.commands import RecordInstrument
from prep.record.unit.commands.handwritten import PaperSource
from prep.record.unit.commands.steps import ReopenStep
from prep.words.reader import ENGLISH
from prep.words.unit.remarks import remark_texts
from tests.cast import WRENCH, Yard, days_ago
from tests.record.unit.handwriting import attached, by_ada, copy, started_yesterday
from tests.refusals import refused
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Pictures of a test lie in its folder."""
    own_folders(settings, tmp_path)


def test_what_was_written_before_a_step_was_opened_again_does_not_count(yard: Yard) -> None:
    """The step is to be done again, not copied again."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    source = by_ada(yard, photo)
    copy(yard, unit, source)
    copy(yard, unit, source, "good", line="finish")
    yard.sign(unit, "pitch", yard.ada)
    perform(ReopenStep(step="pitch", reason="tire changed"), actor=yard.ada, target=unit)
    no = refused("happened-before-reopening", copy, yard, unit, source)
    assert (no.field, no.details["step_title"]) == ("paper.written", "Level fore and aft")
    copy(yard, unit, PaperSource(photo, yard.ada.username, timezone.now()))


def test_the_writer_is_somebody_of_the_yard_who_may_do_the_step(yard: Yard) -> None:
    """Refused: an unknown user name, a person without a role, and an auditor."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    when = timezone.now() - timedelta(hours=1)
    for writer in ("nobody", yard.outsider.username):
        no = refused("no-such-writer", copy, yard, unit, PaperSource(photo, writer, when))
        assert no.field == "paper.writer"
    for auditor in (yard.rhea, yard.sol):
        refused("not-the-work-of", copy, yard, unit, PaperSource(photo, auditor.username, when))


def test_whoever_copies_must_be_allowed_to_work_on_the_step(yard: Yard) -> None:
    """Sales and auditors may not copy; people without a role find no such unit."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    for actor in (yard.sol, yard.rhea):
        refused("not-allowed", copy, yard, unit, source, actor=actor)
        refused("not-allowed", attached, yard, unit, actor=actor)
    refused("no-such-unit", copy, yard, unit, source, actor=yard.outsider)
    refused("no-such-unit", attached, yard, unit, actor=yard.outsider)
    assert Photo.objects.count() == 1


def test_the_copier_cannot_sign_for_the_writer(yard: Yard) -> None:
    """Ben copied what Ada wrote: Ada signs with her own PIN, and Ben cannot."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    copy(yard, unit, source)
    copy(yard, unit, source, "good", line="finish")
    no = refused("not-the-writer", yard.sign, unit, "pitch", yard.ben)
    assert no.details["writers"] == ("Ada Invented",)
    yard.sign(unit, "pitch", yard.ada)


def test_neither_writer_nor_copier_is_the_second_person(yard: Yard) -> None:
    """Ada wrote, Ben copied, Ada signed: Mira checks."""
    unit = started_yesterday(yard)
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades", yard.ben)
    yard.acknowledge(unit, "blades", yard.ada)
    source = by_ada(yard, attached(yard, unit), hours_ago=0.1)
    for position in ("left", "right"):
        copy(
            yard, unit, source, "450 ft lb", step="blades", line="torque", position=position,
            instrument="W-1",
        )  # fmt: skip
    yard.sign(unit, "blades")
    refused("same-person", yard.second, unit, "blades", yard.ben)
    yard.second(unit, "blades", yard.mira)


def test_values_of_one_page_are_not_suspected_for_their_common_time(yard: Yard) -> None:
    """Equal values within ten seconds get no remark where they are copied from one page."""
    unit = started_yesterday(yard)
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades", yard.ben)
    source = by_ada(yard, attached(yard, unit), hours_ago=0.1)
    for position in ("left", "right"):
        taken = copy(
            yard, unit, source, "450 ft lb", step="blades", line="torque", position=position,
            instrument="W-1",
        ).events[0]  # fmt: skip
        assert taken.remarks == ()


def test_a_page_is_copied_whole_before_its_steps_are_signed(yard: Yard) -> None:
    """A later step is open on paper once the steps before it are answered; signing keeps order."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    for step in ("block", "blades"):
        yard.acknowledge(unit, step, yard.ben)
    torque = {"step": "blades", "line": "torque", "position": "left", "instrument": "W-1"}
    refused("not-safe-yet", copy, yard, unit, source, "450 ft lb", **torque)
    yard.check(unit, "block", "blocked", actor=yard.ben, paper=source)
    copy(yard, unit, source, "450 ft lb", **torque)
    refused(
        "not-safe-yet", yard.take, unit, "blades", "torque", "450 ft lb", actor=yard.ben,
        position="right", instrument="W-1",
    )  # fmt: skip
    copy(yard, unit, source, "450 ft lb", **{**torque, "position": "right"})
    yard.acknowledge(unit, "blades", yard.ada)
    refused("not-safe-yet", yard.sign, unit, "blades")
    yard.acknowledge(unit, "block", yard.ada)
    yard.sign(unit, "block")
    yard.sign(unit, "blades")


def test_the_calibration_that_counts_is_that_of_the_day_on_the_paper(yard: Yard) -> None:
    """A wrench due four days ago was in calibration a week ago and is overdue today."""
    unit = started_yesterday(yard, days=9)
    due = (timezone.now() - timedelta(days=4)).date().isoformat()
    wrench = msgspec.structs.replace(WRENCH, code="W-9", due=due)
    with days_ago(20):
        registered = RecordInstrument(site=yard.site, instrument=wrench, reason="registered")
        perform(registered, actor=yard.otto)
    photo = attached(yard, unit)
    yard.acknowledge(unit, "block", yard.ben)
    yard.acknowledge(unit, "blades", yard.ben)
    yard.check(unit, "block", "blocked", actor=yard.ben, paper=by_ada(yard, photo, 8 * 24))
    torque = {"step": "blades", "line": "torque", "position": "left", "instrument": "W-9"}
    today, week_ago = by_ada(yard, photo, 0.1), by_ada(yard, photo, 7 * 24)
    refused("instrument-overdue", copy, yard, unit, today, "450 ft lb", **torque)
    taken = copy(yard, unit, week_ago, "450 ft lb", **torque).events[0]
    assert (taken.instrument.code, taken.instrument.due) == ("W-9", due)
    assert remark_texts(taken.remarks, ENGLISH) == (
        "entered 7 days after it happened",
        "the tool was in calibration when this was read, but overdue when it was entered",
    )
    assert [flag.about.origin for flag in record_of(unit).open_flags()] == ["moments-differ"]
