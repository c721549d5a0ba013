"""Readiness, release, the buyer's tractor, concessions, holds, handover."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Buyer, Event, Recipient, Unit, UnitStep
from prep.queries.records import record_of
from prep.record.instrument.commands import RecordInstrument
from prep.record.unit.commands.buyers import AssignBuyer, WithdrawBuyer
from prep.record.unit.commands.flags import CloseFlag, GrantConcession, RaiseFlag
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.receiving import ArrivalDamage, ReceiveUnit
from prep.record.unit.commands.registrations import SendRegistration, is_late, registration
from prep.record.unit.commands.releases import (
    HoldUnit,
    ReleaseUnit,
    ReopenUnit,
    ResumeUnit,
    sheet_digest,
)
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.shortages import NoteShortage, RecordArrival
from prep.record.unit.commands.steps import ReopenStep
from prep.record.unit.readiness import readiness
from prep.words.reader import ENGLISH
from prep.words.readiness import reason_text
from prep.words.refusals import refusal_text
from prep.words.unit.signatures import nothing_to_redo
from tests.cast import ERASING, PIN, WRENCH, Yard
from tests.refusals import refused


def answer(unit: UUID) -> tuple[str, list[str]]:
    """Readiness in words with its reasons, as the index gives them."""
    row = Unit.objects.get(pk=unit)
    now = readiness(record_of(row.pk))
    assert row.reasons == [reason.stored() for reason in now.reasons]
    return now.answer, [reason_text(reason, ENGLISH) for reason in row.reasons]


def test_a_unit_without_buyer_gets_ready_for_stock(yard: Yard) -> None:
    """Steps that need a tractor do not count before one is assigned."""
    unit = yard.started()
    assert answer(unit) == (
        "not-ready",
        [
            "Block the deck: to do.",
            "Torque the blade bolts: waits for Block the deck.",
            "Level fore and aft: to do.",
        ],
    )
    yard.block_deck(unit)
    yard.torque_blades(unit)
    yard.level(unit)
    assert answer(unit) == ("ready-for-stock", [])
    yard.release(unit)
    assert Unit.objects.get(pk=unit).state == "released-for-stock"


def test_a_stock_unit_is_not_ready_for_this_buyer(yard: Yard) -> None:
    """With a buyer the tractor's steps count too; then the release is for the buyer."""
    unit = yard.prepared()
    yard.release(unit)
    yard.assign(unit)
    assert answer(unit) == (
        "ready-for-stock",
        ["Match the splines: to do.", "Set the drawbar: to do."],
    )
    refused("not-released-for-buyer", yard.hand_over, unit)
    yard.match_tractor(unit)
    assert answer(unit) == ("ready-for-buyer", [])
    yard.release(unit)
    assert Unit.objects.get(pk=unit).state == "released-for-buyer"


def test_changing_the_tractor_reopens_what_depends_on_it(yard: Yard) -> None:
    """21 splines instead of 6, 16 in instead of 14: both steps are to be done again."""
    unit = yard.ready()
    yard.assign(unit, "T-150")
    assert answer(unit)[1] == ["Match the splines: to do.", "Set the drawbar: to do."]
    taken = yard.take(unit, "splines", "count", "6")
    assert taken.events[0].verdict == "nonconforming"
    taken = yard.take(unit, "drawbar", "distance", "16 in", instrument="M-1")
    limit = taken.events[0].limit
    # 16 in for a 1000 rpm, 21-spline shaft (type 2): ISO 6489-3 as restated in tractor manuals.
    assert (limit.low, limit.high) == ("393.7", "419.1")
    assert limit.computed.rule == "hitch.drawbar_distance"


def test_release_is_refused_with_every_reason(yard: Yard) -> None:
    """A shortage, damage, a hold: each in plain words, with where to go."""
    unit = yard.receive(damage=(ArrivalDamage("Scraped paint", "left wing", 1, True),))
    perform(StartSheet(), actor=yard.ada, target=unit)
    yard.block_deck(unit)
    yard.torque_blades(unit)
    yard.level(unit)
    perform(NoteShortage(part="Manual tube", expected="Friday"), actor=yard.ada, target=unit)
    no = refused("not-ready", yard.release, unit)
    assert [reason_text(reason, ENGLISH) for reason in no.details["reasons"]] == [
        "Missing: Manual tube, expected Friday.",
        "Scraped paint, left wing.",
    ]
    assert refusal_text(no, ENGLISH) == (
        "Not ready for release. Still needed: Missing: Manual tube, expected Friday. And 1 more."
    )
    shortage = next(iter(record_of(unit).shortages))
    perform(RecordArrival(shortage=shortage), actor=yard.ben, target=unit)
    yard.concede(unit, "Touched up; buyer informed (invented).")
    yard.release(unit)
    assert record_of(unit).release is not None


def test_a_nonconforming_value_is_released_only_by_a_named_authority(yard: Yard) -> None:
    """A concession needs the manager, a reason, and another person than the one who read it."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "7 in", actor=yard.mira)
    flag = record_of(unit).open_flags()[0].id
    grant = {"flag": flag, "pin": PIN}
    refused(
        "not-allowed", perform, GrantConcession(reason="fine", **grant), actor=yard.ada, target=unit
    )
    refused(
        "input-unfit", perform, GrantConcession(reason="", **grant), actor=yard.mira, target=unit
    )
    refused(
        "own-concession",
        perform,
        GrantConcession(reason="fine", **grant),
        actor=yard.mira,
        target=unit,
    )
    refused("needs-entry", perform, CloseFlag(flag=flag, text="."), actor=yard.ada, target=unit)


def test_a_conceded_value_completes_its_step(yard: Yard) -> None:
    """The flag is closed, the value stays nonconforming, and the step can be signed."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "7 in")
    yard.take(unit, "pitch", "finish", "good")
    yard.concede(unit)
    yard.sign(unit, "pitch")
    assert UnitStep.objects.get(unit=unit, step="pitch").status == "done"


def test_a_reported_flag_is_closed_by_saying_what_put_it_right(yard: Yard) -> None:
    """Sales may report; service says what was done."""
    unit = yard.prepared()
    perform(RaiseFlag(text="Decal torn, rear guard"), actor=yard.sol, target=unit)
    assert answer(unit) == ("not-ready", ["Decal torn, rear guard"])
    flag = record_of(unit).open_flags()[0].id
    perform(CloseFlag(flag=flag, text="New decal fitted"), actor=yard.ada, target=unit)
    assert answer(unit) == ("ready-for-stock", [])


def test_on_hold_nothing_moves_until_a_manager_resumes(yard: Yard) -> None:
    """The refusal gives the reason of the hold."""
    unit = yard.started()
    perform(HoldUnit(reason="Maker's bulletin (invented)."), actor=yard.ada, target=unit)
    no = refused("on-hold", yard.take, unit, "pitch", "front", "4 in")
    assert no.details == {"reason": "Maker's bulletin (invented)."}
    assert refusal_text(no, ENGLISH) == (
        "Work is on hold: “Maker's bulletin (invented).” A service manager can take it off hold."
    )
    refused("not-allowed", perform, ResumeUnit(), actor=yard.ada, target=unit)
    perform(ResumeUnit(), actor=yard.mira, target=unit)
    yard.take(unit, "pitch", "front", "4 in")


def test_a_released_unit_is_changed_only_after_reopening(yard: Yard) -> None:
    """Re-opening withdraws the release and names the steps to be done again."""
    unit = yard.ready()
    yard.release(unit)
    refused("released", yard.acknowledge, unit, "block", yard.ben)
    again = AssignBuyer(buyer=yard.buyer().pk, tractor="T-150")
    refused("released", perform, again, actor=yard.sol, target=unit)
    reopen = ReopenUnit(reason="Nuts to be checked", steps=("pitch",))
    refused("not-allowed", perform, reopen, actor=yard.ada, target=unit)
    perform(reopen, actor=yard.mira, target=unit)
    assert answer(unit) == ("not-ready", ["Level fore and aft: to do."])
    yard.level(unit)
    yard.release(unit)
    withdrawn, standing = record_of(unit).releases
    assert withdrawn.reason == "Nuts to be checked"
    assert standing.withdrawn is None


def test_a_release_is_not_withdrawn_without_a_word_on_the_work(yard: Yard) -> None:
    """Neither steps nor why none, or both, or a step that is not done: nothing has happened."""
    unit = yard.prepared()
    yard.release(unit)
    before = record_of(unit).version

    def reopen(**fields: Any) -> Any:
        return perform(ReopenUnit(reason="Look again", **fields), actor=yard.mira, target=unit)

    assert refused("steps-to-redo-missing", reopen).field == "steps"
    assert refused("steps-to-redo-missing", reopen, nothing_because="  ").field == "steps"
    both = {"steps": ("pitch",), "nothing_because": "A slip."}
    assert refused("steps-and-nothing-to-redo", reopen, **both).field == "nothing_because"
    assert refused("no-such-step", reopen, steps=("pitch", "polish")).field == "steps"
    open_step = refused("not-signed", reopen, steps=("pitch", "splines"))
    assert open_step.details == {"step_title": "Match the splines"}
    record = record_of(unit)
    assert (record.version, record.release is not None) == (before, True)


def test_a_withdrawn_release_is_never_ready_at_once(yard: Yard) -> None:
    """With nothing to do again the release itself is missing; the reason stands in the record."""
    unit = yard.ready()
    yard.release(unit)
    why = "The serial number was misprinted on the papers (invented)."
    reopen = ReopenUnit(reason="Papers wrong.", nothing_because=why)
    perform(reopen, actor=yard.mira, target=unit)
    assert answer(unit) == (
        "not-ready",
        ["The release was withdrawn: “Papers wrong.” A service manager has to release it again."],
    )
    row = Unit.objects.get(pk=unit)
    assert (row.state, row.ready_for_stock, row.ready_for_buyer) == ("in-preparation", False, False)
    refused("not-released-for-buyer", yard.hand_over, unit)
    yard.release(unit)
    withdrawn, standing = record_of(unit).releases
    assert withdrawn.nothing_because == why
    assert nothing_to_redo(withdrawn.nothing_because, ENGLISH) == (
        f"Nothing to be done again, because: {why}"
    )
    assert standing.withdrawn is None
    assert answer(unit) == ("ready-for-buyer", [])


def test_what_keeps_a_unit_from_release_still_does_after_a_withdrawal(yard: Yard) -> None:
    """The reason that the release itself answers does not hide another one."""
    unit = yard.ready()
    yard.release(unit)
    perform(ReopenUnit(reason="Slip", nothing_because="A slip."), actor=yard.mira, target=unit)
    perform(RaiseFlag(text="Decal torn"), actor=yard.sol, target=unit)
    no = refused("not-ready", yard.release, unit)
    assert [reason["code"] for reason in no.details["reasons"]] == ["flag-open"]


def test_handover_needs_everything_shown_and_the_manual_given(yard: Yard) -> None:
    """Missing topics are named; the recipient's name stays out of the log."""
    unit = yard.ready()
    yard.release(unit)
    sol = {"actor": yard.sol, "target": unit}
    handing: dict[str, Any] = {
        "recipient": "Wes Fen (invented)",
        "relation": "owner",
        "language": "English",
        "pin": PIN,
    }
    refused(
        "manual-missing", perform, HandOver(shown=MUST_SHOW, manual_given=False, **handing), **sol
    )
    no = refused(
        "not-shown", perform, HandOver(shown=MUST_SHOW[1:], manual_given=True, **handing), **sol
    )
    assert no.details["missing"] == ["adjustments"]
    yard.hand_over(unit)
    assert not Event.objects.filter(body__contains="Wes Fen").exists()
    handover = record_of(unit).handover
    assert handover is not None
    kept = Recipient.objects.get(handover=handover[0].handover)
    assert kept.digest() == handover[0].recipient_digest
    refused("handed-over", yard.acknowledge, unit, "block", yard.ben)


def test_registration_is_due_by_the_makers_rule(yard: Yard) -> None:
    """Ten days by the model's data; then overdue; it cannot be sent before its bundle is made."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    record = record_of(unit)
    assert record.handover is not None
    handed = record.handover[1].happened.date()
    assert registration(record, handed).state == "due"
    due = datetime.fromisoformat(registration(record, handed).due).replace(tzinfo=UTC).date()
    assert (due - handed).days == 10
    assert registration(record, due).state == "due"
    assert registration(record, due.replace(year=due.year + 1)).state == "overdue"
    refused(
        "no-such-registration",
        perform,
        SendRegistration(document="none"),
        actor=yard.sol,
        target=unit,
    )


def test_an_erased_buyer_leaves_a_reference_nobody_can_resolve(yard: Yard) -> None:
    """The log never held the name; the digest no longer proves one."""
    buyer = yard.buyer()
    unit = yard.prepared()
    yard.assign(unit, buyer=buyer)
    reference = record_of(unit).buyer
    assert reference is not None
    digest = reference.digest
    assert buyer.digest() == digest
    refused("not-allowed", perform, ERASING, actor=yard.sol, target=buyer.pk)
    no = refused("buyer-has-open-sale", perform, ERASING, actor=yard.otto, target=buyer.pk)
    assert no.details == {"serials": ("TC00001",)}
    perform(WithdrawBuyer(reason="Bought another one."), actor=yard.sol, target=unit)
    perform(ERASING, actor=yard.otto, target=buyer.pk)
    gone = Buyer.objects.get(pk=buyer.pk)
    assert (gone.name, gone.salt) == ("(erased)", "")
    assert gone.digest() != digest
    assert not Event.objects.filter(body__contains="Fen Farm").exists()


@pytest.mark.parametrize("command", ["receive", "take"])
def test_a_command_sent_twice_counts_once(yard: Yard, command: str) -> None:
    """The second send gets the first outcome; another request under the same id is refused."""
    same = Submission()
    if command == "receive":
        receiving = ReceiveUnit(site="north", maker="Larkfield", serial="TC777")
        other_serial = ReceiveUnit(site="north", maker="Larkfield", serial="TC778")
        first = perform(receiving, actor=yard.ada, submission=same)
        again = perform(receiving, actor=yard.ada, submission=same)
        refused("command-reused", perform, other_serial, actor=yard.ada, submission=same)
    else:
        unit = yard.started()
        first = yard.take(unit, "pitch", "front", "4 in", command=same)
        yard.take(unit, "pitch", "finish", "good")
        again = yard.take(unit, "pitch", "front", "4 in", command=same)
        refused("command-reused", yard.take, unit, "pitch", "front", "5 in", command=same)
        other = yard.started()
        refused("command-reused", yard.take, other, "pitch", "front", "4 in", command=same)
    assert again.repeated
    assert (again.unit, again.version, again.events) == (first.unit, first.version, first.events)


@pytest.mark.parametrize("other", ["ben", "mira"])
def test_a_command_belongs_to_whoever_sent_it_first(yard: Yard, other: str) -> None:
    """Its id stands in the history for all to read; sent by another person it is refused."""
    same, unit = Submission(), yard.started()
    yard.take(unit, "pitch", "front", "4 in", command=same)
    thief = getattr(yard, other)
    refused("command-reused", yard.take, unit, "pitch", "front", "4 in", command=same, actor=thief)
    assert record_of(unit).boxes["pitch", "front", ""].entries[0].stamp.name == "Ada Invented"


def test_a_change_of_an_instrument_belongs_to_whoever_sent_it_first(yard: Yard) -> None:
    """The same rule in the streams that are no units."""
    change = RecordInstrument(site=yard.site, instrument=WRENCH, reason="calibrated")
    same = Submission()
    assert not perform(change, actor=yard.otto, submission=same).repeated
    assert perform(change, actor=yard.otto, submission=same).repeated
    refused("command-reused", perform, change, actor=yard.mira, submission=same)
    assert Event.objects.filter(stream="instrument", stream_id="W-1").count() == 2


def test_a_decision_on_an_old_view_is_refused(yard: Yard) -> None:
    """The unit changed between reading it and the command."""
    unit = yard.started()
    version = record_of(unit).version
    yard.take(unit, "pitch", "finish", "good")
    no = refused(
        "changed-meanwhile",
        yard.take,
        unit,
        "pitch",
        "front",
        "4 in",
        command=Submission(version=version),
    )
    assert no.details["version"] == version + 1


def test_a_sheet_that_changed_since_it_was_shown_is_not_released(yard: Yard) -> None:
    """A reading was corrected while Mira read the page: she signs what she saw, or nothing."""
    unit = yard.prepared()
    shown = sheet_digest(record_of(unit))
    again = ReopenStep(step="pitch", reason="Measured again (invented).")
    perform(again, actor=yard.ada, target=unit)
    yard.level(unit)
    stale = ReleaseUnit(seen=shown, pin=PIN)
    refused("content-changed", perform, stale, actor=yard.mira, target=unit)
    yard.release(unit)
    assert record_of(unit).release is not None


def test_the_due_day_of_a_registration_is_still_in_time() -> None:
    """A deadline is the last day on which it can be kept (common practice, no published source)."""
    assert not is_late("due", "2026-05-01", "2026-05-01")
    assert is_late("due", "2026-05-01", "2026-05-02")
    assert not is_late("sent", "2026-05-01", "2026-05-02")
    assert not is_late("due", "", "2026-05-02")
