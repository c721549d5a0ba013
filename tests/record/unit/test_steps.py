"""Order, cautions, signing, the second person, skipping and re-opening."""

from typing import Any

import pytest

from prep.actions.perform import perform
from prep.models import SignOff, UnitStep
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.roles import Role
from prep.record.struct_errors import Fault
from prep.record.unit.commands.steps import ReopenStep, SignStep, SkipStep
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import DOCUMENTS, PIN, Yard, seen
from tests.refusals import refused


def status(unit: Any, step: str) -> str:
    """Status of a step in the index."""
    return UnitStep.objects.get(unit=unit, step=step).status


def test_nothing_is_done_under_a_raised_deck_before_it_is_blocked(yard: Yard) -> None:
    """The refusal names the danger, what comes first and the step to finish."""
    unit = yard.started()
    yard.acknowledge(unit, "blades")
    no = refused(
        "not-safe-yet",
        yard.take,
        unit,
        "blades",
        "torque",
        "450 ft lb",
        position="left",
        instrument="W-1",
    )
    assert refusal_text(no, ENGLISH) == (
        "Not safe yet (under a raised deck): deck blocked comes first. Finish: Block the deck."
    )


def test_a_reopened_block_stops_the_work_under_the_deck_again(yard: Yard) -> None:
    """After the blocks step is re-opened, the steps after it wait again, even if signed."""
    unit = yard.prepared()
    perform(ReopenStep(step="block", reason="Blocks moved"), actor=yard.ada, target=unit)
    assert status(unit, "blades") == "waits-for-step"
    refused("not-ready", yard.release, unit)


def test_cautions_are_acknowledged_by_each_person_before_working(yard: Yard) -> None:
    """Ada's acknowledgement is not Ben's."""
    unit = yard.started()
    refused("caution-first", yard.check, unit, "block", "blocked")
    yard.acknowledge(unit, "block")
    refused("caution-first", yard.check, unit, "block", "blocked", actor=yard.ben)
    yard.check(unit, "block", "blocked")
    assert status(unit, "block") == "ready-to-sign"


def test_nobody_signs_for_someone_else(yard: Yard) -> None:
    """Signing requires the signer's own PIN; after five wrong ones it waits."""
    unit = yard.started()
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked")
    sign = {"step": "block", "seen": seen(unit, "block")}
    for _ in range(5):
        refused("pin-wrong", perform, SignStep(pin="0000", **sign), actor=yard.ada, target=unit)
    no = refused(
        "too-many-attempts", perform, SignStep(pin=PIN, **sign), actor=yard.ada, target=unit
    )
    assert no.field == "pin"
    assert not SignOff.objects.exists()


def test_a_signature_is_over_exactly_what_was_shown(yard: Yard) -> None:
    """A signature is refused where an entry changed since the person looked."""
    unit = yard.started()
    first = yard.take(unit, "pitch", "front", "4 in").events[0]
    yard.take(unit, "pitch", "finish", "good")
    shown = seen(unit, "pitch")
    yard.take(
        unit,
        "pitch",
        "front",
        "5 in",
        supersedes=first.reading,
        reason="measured again",
        actor=yard.ben,
    )
    refused(
        "content-changed",
        perform,
        SignStep(step="pitch", seen=shown, pin=PIN),
        actor=yard.ada,
        target=unit,
    )
    yard.sign(unit, "pitch")
    sign_off = SignOff.objects.get()
    assert (sign_off.person_name, sign_off.meaning) == ("Ada Invented", "prepared")
    assert sign_off.content == seen(unit, "pitch")


def test_a_step_with_an_open_box_or_flag_is_not_signed(yard: Yard) -> None:
    """The refusal lists what is still open."""
    unit = yard.started()
    no = refused("incomplete", yard.sign, unit, "pitch")
    assert no.details["open_boxes"] == ["Front tip height", "Paint"]
    assert refusal_text(no, ENGLISH) == "Not ready to sign. Still open: Front tip height and Paint."
    yard.take(unit, "pitch", "front", "9 in")
    yard.take(unit, "pitch", "finish", "good")
    assert status(unit, "pitch") == "flag-open"
    refused("incomplete", yard.sign, unit, "pitch")


def test_the_second_check_is_by_a_second_person(yard: Yard) -> None:
    """Not by who signed, not by who entered a value; then by Ben."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.acknowledge(unit, "blades", actor=yard.mira)
    yard.take(unit, "blades", "torque", "450 ft lb", position="left", instrument="W-1")
    yard.take(
        unit,
        "blades",
        "torque",
        "451 ft lb",
        position="right",
        instrument="W-1",
        actor=yard.mira,
    )
    refused("not-ready-for-second", yard.second, unit, "blades")
    yard.sign(unit, "blades")
    assert status(unit, "blades") == "waits-for-second"
    # The second person checks what was signed, and nothing that was written after it.
    again = {"position": "left", "instrument": "W-1", "supersedes": "x", "reason": "y"}
    refused("signed", yard.take, unit, "blades", "torque", "452 ft lb", **again)
    refused("same-person", yard.second, unit, "blades", actor=yard.ada)
    refused("same-person", yard.second, unit, "blades", actor=yard.mira)
    yard.second(unit, "blades")
    assert status(unit, "blades") == "done"
    refused("already-checked", yard.second, unit, "blades")


def test_a_signed_step_takes_no_more_entries_until_reopened(yard: Yard) -> None:
    """Re-opened with a reason, its sign-off stays in the record but no longer stands."""
    unit = yard.started()
    yard.level(unit)
    refused("signed", yard.take, unit, "pitch", "front", "5 in", supersedes="x", reason="y")
    blank = ReopenStep(step="pitch", reason=" ")
    no = refused("input-unfit", perform, blank, actor=yard.ben, target=unit)
    assert no.details["faults"] == (Fault(("reason",), "blank"),)
    reopen = ReopenStep(step="pitch", reason="Wheels were changed")
    perform(reopen, actor=yard.ben, target=unit)
    assert SignOff.objects.get(step="pitch").stands is False
    assert status(unit, "pitch") == "to-do"
    yard.take(unit, "pitch", "front", "5 in")
    entry = record_of(unit).boxes["pitch", "front", ""].entries[-1]
    assert entry.event.supersedes == record_of(unit).boxes["pitch", "front", ""].entries[0].id


def test_not_applicable_needs_a_reason_and_never_a_safety_step(yard: Yard) -> None:
    """Blocking the deck is never skipped; leveling may be skipped by a technician."""
    unit = yard.started()
    refused(
        "never-skipped",
        perform,
        SkipStep(step="block", reason="in a hurry"),
        actor=yard.mira,
        target=unit,
    )
    refused(
        "not-allowed",
        perform,
        SkipStep(step="blades", reason="no blades"),
        actor=yard.ada,
        target=unit,
    )
    refused("input-unfit", perform, SkipStep(step="pitch", reason=""), actor=yard.ada, target=unit)
    perform(
        SkipStep(step="pitch", reason="Sold without leveling (invented)"),
        actor=yard.ada,
        target=unit,
    )
    assert status(unit, "pitch") == "not-applicable"


@pytest.mark.parametrize("who", ["sol", "rhea", "otto"])
def test_only_service_works_on_the_sheet(yard: Yard, who: str) -> None:
    """Sales, auditors and administrators may not."""
    unit = yard.started()
    refused("not-allowed", yard.take, unit, "pitch", "front", "4 in", actor=getattr(yard, who))


def test_a_person_of_another_yard_sees_no_such_unit(yard: Yard) -> None:
    """The refusal does not reveal that the unit exists."""
    unit = yard.started()
    refused("no-such-unit", yard.take, unit, "pitch", "front", "4 in", actor=yard.outsider)


def test_a_step_is_worked_only_by_those_it_names(yard: Yard) -> None:
    """Where it wants the service manager for the height, Ada enters and signs nothing."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    named = text.replace(
        "title: Level fore and aft\n", "title: Level fore and aft\n        who: [service manager]\n"
    )
    assert named != text
    perform(PublishProcedure(document=named), actor=yard.otto)
    unit = yard.started()
    no = refused("not-allowed", yard.take, unit, "pitch", "front", "4 in")
    assert no.details["roles"] == (Role.SERVICE_MANAGER,)
    yard.take(unit, "pitch", "front", "4 in", actor=yard.mira)
    yard.take(unit, "pitch", "finish", "good", actor=yard.mira)
    refused("not-allowed", yard.sign, unit, "pitch")
    yard.sign(unit, "pitch", actor=yard.mira)
    assert status(unit, "pitch") == "done"
