"""Taking readings: parsed, judged, refused, flagged, superseded."""

from datetime import timedelta

import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Flag, Reading, Unit
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.events import ReadingTaken
from prep.record.unit.remark import Late, SameAs
from prep.words.reader import ENGLISH
from prep.words.unit.flags import kept_flag_text
from prep.words.unit.limits import kept_limit_text
from prep.words.unit.remarks import remark_texts
from tests.cast import DOCUMENTS, Yard
from tests.refusals import refused


def test_a_reading_keeps_what_was_typed_and_says_it_in_millimetres(yard: Yard) -> None:
    """The entry keeps the raw text, the unit as typed and the canonical value."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "4-1/8 in.")
    reading = Reading.objects.get(unit=unit)
    assert (reading.raw, reading.canonical, reading.unit_symbol) == ("4-1/8 in.", "104.775", "mm")
    assert reading.verdict == "conforming"
    assert kept_limit_text(reading.limit, ENGLISH) == "3 in to 6 in"


def test_an_ambiguous_entry_is_asked_back_with_the_readings_possible(yard: Yard) -> None:
    """A bare number is never guessed; each choice can be typed instead."""
    unit = yard.started()
    no = refused("ambiguous", yard.take, unit, "pitch", "front", "110")
    entries = [choice["entry"] for choice in no.details["choices"]]
    assert "110 mm" in entries
    yard.take(unit, "pitch", "front", "110 mm")
    assert Reading.objects.get(unit=unit).canonical == "110"


def test_junk_is_refused_with_what_to_type_instead(yard: Yard) -> None:
    """The refusal names the field at fault, and nothing is recorded."""
    unit = yard.started()
    no = refused("unreadable", yard.take, unit, "pitch", "front", "asdf;")
    assert no.field == "text"


def test_a_word_is_kept_but_never_counts_as_measured(yard: Yard) -> None:
    """“OK” stays in the record and leaves the step open."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "OK")
    reading = Reading.objects.get(unit=unit)
    assert (reading.raw, reading.verdict, reading.canonical) == ("OK", "not-measured", "")
    yard.take(unit, "pitch", "finish", "good")
    refused("incomplete", yard.sign, unit, "pitch")
    yard.take(unit, "pitch", "front", "4 in")
    assert list(Reading.objects.filter(current=True, line="front").values_list("raw")) == [
        ("4 in",)
    ]


def test_a_nonconforming_reading_raises_a_flag_that_a_conforming_one_closes(yard: Yard) -> None:
    """Both readings stay; the flag says limit and value."""
    unit = yard.started()
    first = yard.take(unit, "pitch", "front", "7 in").events[0]
    flag = Flag.objects.get(unit=unit)
    assert flag.open
    assert kept_flag_text(flag.about, ENGLISH) == (
        "Front tip height: 7 in is out of limit (nonconforming). The limit is 3 in to 6 in."
    )
    assert Unit.objects.get(pk=unit).open_flags == 1
    yard.take(unit, "pitch", "front", "5 in", supersedes=first.reading, reason="Leveled again")
    assert not Flag.objects.get(unit=unit).open
    assert list(Reading.objects.order_by("recorded").values_list("raw", "current")) == [
        ("7 in", False),
        ("5 in", True),
    ]


def test_an_entry_is_never_overwritten_unasked(yard: Yard) -> None:
    """A second value needs the first one's id and a reason."""
    unit = yard.started()
    first = yard.take(unit, "pitch", "front", "4 in").events[0]
    again = refused("already-entered", yard.take, unit, "pitch", "front", "5 in")
    assert again.details["current"] == first.reading
    refused("reason-missing", yard.take, unit, "pitch", "front", "5 in", supersedes=first.reading)
    refused("not-current", yard.take, unit, "pitch", "front", "5 in", supersedes="x", reason="typo")


def test_the_ends_belong_to_the_limit_in_either_unit(yard: Yard) -> None:
    """3 in and 76.2 mm are the same height; 76 mm is below it."""
    for text, verdict in (
        ("3 in", "conforming"),
        ("76.2 mm", "conforming"),
        ("76 mm", "nonconforming"),
    ):
        unit = yard.started()
        yard.take(unit, "pitch", "front", text)
        assert Reading.objects.get(unit=unit).verdict == verdict


def test_a_torque_near_the_limit_is_not_proven_by_this_wrench(yard: Yard) -> None:
    """Guarded by 0.83 U (ISO 14253-1): inside the guard band it is flagged, not passed."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.take(unit, "blades", "torque", "472 ft lb", position="left", instrument="W-1")
    reading = Reading.objects.get(unit=unit, position="left")
    assert reading.verdict == "conforming-guarded"
    assert Flag.objects.get(unit=unit, open=True).origin == "guard-band"


@pytest.mark.parametrize(
    ("instrument", "text", "code"),
    [
        ("", "450 ft lb", "instrument-missing"),
        ("M-1", "450 ft lb", "instrument-wrong-kind"),
        ("W-2", "450 ft lb", "instrument-overdue"),
        ("W-1", "45 ft lb", "instrument-out-of-range"),
        ("W-9", "450 ft lb", "no-such-instrument"),
    ],
)
def test_an_unfit_wrench_is_refused(yard: Yard, instrument: str, text: str, code: str) -> None:
    """Missing, wrong kind, past due, out of its range, unknown."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    refused(code, yard.take, unit, "blades", "torque", text, position="left", instrument=instrument)


def test_an_overdue_tape_is_flagged_where_the_procedure_only_flags_it(yard: Yard) -> None:
    """The reading counts; the flag waits for one with a tape in date."""
    unit = yard.started()
    yard.assign(unit)
    taken = yard.take(unit, "drawbar", "distance", "14 in", instrument="M-2").events[0]
    flag = Flag.objects.get(unit=unit)
    assert kept_flag_text(flag.about, ENGLISH).endswith(
        ": Tape M-2 was due for calibration on 1 Jun 2025."
    )
    yard.take(
        unit,
        "drawbar",
        "distance",
        "14 in",
        instrument="M-1",
        supersedes=taken.reading,
        reason="Tape in date",
    )
    assert not Flag.objects.get(unit=unit).open


def test_a_reading_sent_late_says_so(yard: Yard) -> None:
    """The entry keeps the device's time and the server's."""
    then = timezone.now() - timedelta(hours=5)
    unit = yard.started(happened=then)
    yard.take(unit, "pitch", "front", "4 in", command=Submission(happened=then))
    entry = record_of(unit).boxes["pitch", "front", ""].current
    assert entry is not None
    assert isinstance(entry.event, ReadingTaken)
    assert entry.stamp.happened == then
    assert entry.event.remarks == (Late(minutes=300),)
    assert remark_texts(entry.event.remarks, ENGLISH) == ("entered 5 h after it happened",)


def test_a_tablet_whose_clock_runs_ahead_is_not_believed(yard: Yard) -> None:
    """Its moment is moved by as much as its clock is off; the event keeps by how much."""
    unit = yard.started(happened=timezone.now() - timedelta(hours=2))
    ago = timezone.now() - timedelta(minutes=10)
    sent = Submission(happened=ago + timedelta(minutes=30), device="Tablet 2", drift=-1800)
    yard.take(unit, "pitch", "front", "4 in", command=sent)
    event = Event.objects.order_by("-pk")[0]
    assert (event.happened, event.device, event.drift) == (ago, "Tablet 2", -1800)


def test_the_same_value_typed_at_once_in_every_box_is_remarked(yard: Yard) -> None:
    """Accepted, and shown as typed alike within seconds."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.take(unit, "blades", "torque", "450 ft lb", position="left", instrument="W-1")
    yard.take(unit, "blades", "torque", "450 ft lb", position="right", instrument="W-1")
    entry = record_of(unit).boxes["blades", "torque", "right"].current
    assert entry is not None
    assert isinstance(entry.event, ReadingTaken)
    assert entry.event.remarks == (SameAs("left", seconds=0),)
    assert remark_texts(entry.event.remarks, ENGLISH) == ("typed the same as left, 0 s apart",)


def test_a_choice_without_a_limit_is_recorded_and_not_called_conforming(yard: Yard) -> None:
    """Nothing says which choice is right, so none is certified, and none raises a flag."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    limit = (
        "            limit: {one_of: [good], source: Set-up manual TC-12 (invented), "
        "basis: manufacturer}\n"
    )
    assert limit in text
    perform(PublishProcedure(document=text.replace(limit, "")), actor=yard.otto)
    unit = yard.started()
    for choice in ("good", "scratched"):
        entered = record_of(unit).boxes.get(("pitch", "finish", ""))
        again = {"supersedes": entered.entries[-1].id, "reason": "looked again"} if entered else {}
        reading = yard.take(unit, "pitch", "finish", choice, **again).events[0]
        assert (reading.choice, reading.verdict, reading.limit) == (choice, "no-limit", None)
    assert record_of(unit).open_flags() == []
