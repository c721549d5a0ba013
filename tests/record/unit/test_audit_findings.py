"""Audit findings of a unit's history."""

from datetime import date, timedelta
from uuid import UUID

from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.queries.records import fold_history, history, record_of
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.commands.releases import ReopenUnit
from prep.record.unit.commands.shortages import NoteShortage
from prep.record.unit.commands.steps import ReopenStep, SkipStep
from prep.record.unit.views.audit_findings import Finding, Kind, findings
from prep.words.dates import short_day
from prep.words.reader import ENGLISH
from prep.words.unit.audit_findings import EXPLANATIONS, KINDS, finding_text
from tests.cast import NOT_THE_WORK, Yard

TODAY = date(2026, 11, 25)


def findings_of(unit: UUID, today: date = TODAY) -> list[tuple[str, str, str]]:
    """Kind, text and step of each finding of a unit."""
    return [(f.kind, finding_text(f, ENGLISH), f.box[0]) for f in _all(unit, today)]


def _all(unit: UUID, today: date) -> list[Finding]:
    past = history(unit)
    return list(findings([(h.stamp, h.event) for h in past], fold_history(past), today))


def test_a_unit_worked_straight_through_gives_nothing_to_ask(yard: Yard) -> None:
    """Received, prepared, matched, released, handed over: no finding."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    assert findings_of(unit) == []


def test_a_replaced_entry_is_told_with_both_values_and_the_reason(yard: Yard) -> None:
    """450 typed as 45 and corrected: one finding, at its box."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    first = Submission()
    yard.take(
        unit, "blades", "torque", "450 ft lb", position="left", instrument="W-1", command=first
    )
    yard.take(
        unit,
        "blades",
        "torque",
        "451 ft lb",
        position="left",
        instrument="W-1",
        supersedes=str(first.id),
        reason="read at a slant",
    )
    assert findings_of(unit) == [
        ("entry-replaced", "“450 ft lb” replaced by “451 ft lb”: read at a slant", "blades")
    ]
    assert _all(unit, TODAY)[0].box == ("blades", "torque", "left")


def test_a_concession_is_told_with_its_reason_and_an_open_flag_as_open(yard: Yard) -> None:
    """Two bolts too loose: one conceded, one still flagged."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    for position in ("left", "right"):
        yard.take(unit, "blades", "torque", "300 ft lb", position=position, instrument="W-1")
    yard.concede(unit, "Agreed with the maker (invented).")
    conceded, still_open = findings_of(unit)
    assert conceded[0] == "accepted-by-concession"
    assert conceded[1].endswith("Reason: Agreed with the maker (invented).")
    assert (still_open[0], still_open[2]) == ("flag-open", "blades")


def test_a_tape_out_of_date_is_told_by_name_and_day(yard: Yard) -> None:
    """The procedure lets it pass with a flag; the audit says which tool it was."""
    unit = yard.prepared()
    yard.assign(unit)
    yard.take(unit, "splines", "count", "6")
    yard.sign(unit, "splines")
    yard.take(unit, "drawbar", "distance", "14 in", instrument="M-2")
    assert (
        "instrument-overdue",
        "M-2, Tape M-2, was due for calibration on 1 Jun 2025.",
        "drawbar",
    ) in findings_of(unit)


def test_an_entry_of_two_hours_ago_is_late_and_one_of_fifty_minutes_is_not(yard: Yard) -> None:
    """The moment on the device against the moment the server heard of it."""
    now = timezone.now()
    unit = yard.started(happened=now - timedelta(hours=3))
    for line, text, minutes in (("front", "4 in", 120), ("finish", "good", 50)):
        perform(
            TakeReading(step="pitch", line=line, text=text),
            actor=yard.ada,
            submission=Submission(happened=now - timedelta(minutes=minutes)),
            target=unit,
        )
    assert [(f.kind, finding_text(f, ENGLISH), f.box[1]) for f in _all(unit, TODAY)] == [
        ("entered-late", "“4 in”", "front")
    ]


def test_a_step_left_out_and_a_step_worked_again_are_told(yard: Yard) -> None:
    """Marked not applicable with a reason; opened again with a reason."""
    unit = yard.started()
    perform(SkipStep(step="pitch", reason="Set by the maker"), actor=yard.ada, target=unit)
    yard.block_deck(unit)
    perform(ReopenStep(step="block", reason="Block moved"), actor=yard.mira, target=unit)
    assert findings_of(unit) == [
        ("step-not-applicable", "Set by the maker", "pitch"),
        ("step-reopened", "Block moved", "block"),
    ]


def test_a_release_taken_back_and_a_part_that_was_missing_are_told(yard: Yard) -> None:
    """A decal was missing at the release; then the release was withdrawn for a misread serial."""
    unit = yard.ready()
    perform(
        NoteShortage(part="Decal, left", count=2, stops_release=False), actor=yard.ada, target=unit
    )
    yard.release(unit)
    perform(
        ReopenUnit(reason="Serial misread (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    nothing = f"Nothing to be done again, because: {NOT_THE_WORK}"
    assert findings_of(unit) == [
        ("part-missing", "2 × Decal, left", ""),
        ("release-withdrawn", f"Serial misread (invented) {nothing}", ""),
    ]


def test_every_kind_says_what_it_means() -> None:
    """Each kind of finding has a title and an explanation."""
    assert set(KINDS) == set(EXPLANATIONS) == set(Kind)


def test_a_registration_not_sent_in_time_is_told_from_the_day_after_its_deadline(
    yard: Yard,
) -> None:
    """On the day itself nothing; on the next one finding, by the person who handed over."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    handover = record_of(unit).handover
    assert handover is not None
    due = date.fromisoformat(handover[0].registration_due)
    assert findings_of(unit, due) == []
    assert findings_of(unit, due + timedelta(days=1)) == [
        ("registration-overdue", f"It was due on {short_day(due.isoformat(), ENGLISH)}.", "")
    ]
