"""Copying from paper: who wrote, who copied, what is allowed, and who signs."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import msgspec
import pytest
from django.utils import timezone

from prep.actions import paper, readings, sheets, shop, steps
from prep.actions.paper import OnPaper
from prep.actions.writing import Command
from prep.models import Event, Photo, Reading
from prep.queries.records import record_of
from prep.record.events import CheckCompleted, Paper, ReadingTaken
from prep.record.paper import mark_of
from tests.cast import DOCUMENTS, WRENCH, Yard
from tests.refusals import refused
from tests.reports.sold import own_folders, picture


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Pictures of a test lie in its folder."""
    own_folders(settings, tmp_path)


def started_yesterday(yard: Yard, days: int = 1) -> UUID:
    """A unit whose sheet was started a day or more ago, by the tablet's clock."""
    unit = yard.receive()
    then = timezone.now() - timedelta(days=days)
    sheets.start(actor=yard.ada, command=Command(happened=then), unit=unit)
    return unit


def attached(yard: Yard, unit: UUID, **more: Any) -> UUID:
    """Ben attaches a picture of a page; its id."""
    outcome = paper.attach(
        actor=more.pop("actor", yard.ben),
        command=Command(),
        unit=unit,
        content=picture(),
        **more,
    )
    return UUID(outcome.events[0].photo)  # type: ignore[union-attr]  # the event is the picture


def by_ada(yard: Yard, photo: UUID, hours_ago: float = 3) -> OnPaper:
    """Ada wrote it, some hours ago."""
    return OnPaper(photo, yard.ada.username, timezone.now() - timedelta(hours=hours_ago))


def copy(yard: Yard, unit: UUID, source: OnPaper, text: str = "4 in", **more: Any) -> Any:
    """Ben copies the height of the front tip."""
    where = {"step": "pitch", "line": "front", **more}
    return readings.take(
        actor=where.pop("actor", yard.ben),
        command=where.pop("command", None) or Command(),
        unit=unit,
        text=text,
        paper=source,
        **where,
    )


def test_a_copied_reading_says_who_wrote_and_who_copied(yard: Yard) -> None:
    """It happened when Ada wrote it; Ben copied it now; the picture's digest stays with it."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit, note="page 2 of 5")
    source = by_ada(yard, photo)
    before = timezone.now()
    taken = copy(yard, unit, source).events[0]
    assert taken.copied_from_paper
    assert taken.paper == Paper(
        str(photo), Photo.objects.get().digest, str(yard.ada.pk), "Ada Invented"
    )
    assert taken.verdict == "conforming"
    assert taken.remarks == ("entered 3 h after it happened",)
    event = Event.objects.get(kind="reading.taken")
    assert (event.actor_name, event.happened) == ("Ben Invented", source.written)
    assert event.recorded >= before
    entry = record_of(unit).boxes["pitch", "front", ""].current
    assert entry is not None
    assert entry.event == taken


def test_checks_are_copied_with_their_notes(yard: Yard) -> None:
    """Yes or no, and what was written beside it."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    yard.acknowledge(unit, "block", yard.ben)
    outcome = yard.check(
        unit, "block", "blocked", actor=yard.ben, note="four oak blocks", paper=source
    )
    done = outcome.events[0]
    assert isinstance(done, CheckCompleted)
    assert done.paper is not None
    assert (done.note, done.paper.writer_name) == ("four oak blocks", "Ada Invented")


def test_a_live_reading_names_no_paper(yard: Yard) -> None:
    """Nothing changes for what is entered on the spot."""
    taken = yard.take(yard.started(), "pitch", "front", "4 in").events[0]
    assert (taken.copied_from_paper, taken.paper) == (False, None)


def test_nothing_is_copied_without_a_picture(yard: Yard) -> None:
    """None attached, a picture of something else, and one of another unit."""
    unit, other = started_yesterday(yard), started_yesterday(yard)
    refused("no-paper", copy, yard, unit, by_ada(yard, uuid4()))
    taken = readings.attach_photo(
        actor=yard.ada,
        command=Command(),
        unit=unit,
        step="pitch",
        line="finish",
        content=picture(),
    )
    of_paint = UUID(taken.events[0].photo)  # type: ignore[union-attr]  # the event is the picture
    refused("no-paper", copy, yard, unit, by_ada(yard, of_paint))
    refused("no-paper", copy, yard, unit, by_ada(yard, attached(yard, other)))


def test_paper_is_of_the_time_of_the_sheet(yard: Yard) -> None:
    """Not of the future, and not from before the sheet was started."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    assert refused("written-later", copy, yard, unit, by_ada(yard, photo, -0.01)).field
    refused("written-before-sheet", copy, yard, unit, by_ada(yard, photo, 24.1))
    copy(yard, unit, by_ada(yard, photo, 23.9))


def test_paper_tells_minutes(yard: Yard) -> None:
    """“10:04” is not before a sheet that was started at 10:04:40."""
    unit = yard.receive()
    day = timezone.now() - timedelta(days=1)
    at = day.replace(second=40, microsecond=0)
    sheets.start(actor=yard.ada, command=Command(happened=at), unit=unit)
    photo = attached(yard, unit)
    early = OnPaper(photo, yard.ada.username, at.replace(second=0) - timedelta(minutes=1))
    refused("written-before-sheet", copy, yard, unit, early)
    copy(yard, unit, OnPaper(photo, yard.ada.username, at.replace(second=0)))


def test_what_was_written_before_a_step_was_opened_again_does_not_count(yard: Yard) -> None:
    """The step is to be done again, not copied again."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    source = by_ada(yard, photo)
    copy(yard, unit, source)
    copy(yard, unit, source, "good", line="finish")
    yard.sign(unit, "pitch", yard.ada)
    steps.reopen(actor=yard.ada, command=Command(), unit=unit, step="pitch", reason="tyre changed")
    no = refused("written-before-reopening", copy, yard, unit, source)
    assert "tyre changed" in no.text
    copy(yard, unit, OnPaper(photo, yard.ada.username, timezone.now()))


def test_the_writer_is_somebody_of_the_yard_who_may_do_the_step(yard: Yard) -> None:
    """Nobody, a stranger and an auditor wrote nothing of it."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    when = timezone.now() - timedelta(hours=1)
    for writer in ("nobody", yard.outsider.username):
        no = refused("no-such-writer", copy, yard, unit, OnPaper(photo, writer, when))
        assert no.field == "paper.writer"
    for auditor in (yard.rhea, yard.sol):
        refused("not-the-work-of", copy, yard, unit, OnPaper(photo, auditor.username, when))


def test_whoever_copies_must_be_allowed_to_work_on_the_step(yard: Yard) -> None:
    """Sales and auditors copy nothing; strangers find no such unit."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    for actor in (yard.sol, yard.rhea):
        refused("not-allowed", copy, yard, unit, source, actor=actor)
        refused("not-allowed", attached, yard, unit, actor=actor)
    refused("no-such-unit", copy, yard, unit, source, actor=yard.outsider)
    refused("no-such-unit", attached, yard, unit, actor=yard.outsider)
    assert Photo.objects.count() == 1


def test_the_copier_cannot_sign_for_the_writer(yard: Yard) -> None:
    """Ben copied what Ada wrote: Ada signs, with her own PIN; hers is not Ben's to use."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    copy(yard, unit, source)
    copy(yard, unit, source, "good", line="finish")
    no = refused("not-the-writer", yard.sign, unit, "pitch", yard.ben)
    assert "Ada Invented wrote" in no.text
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
    """Alike within ten seconds is a remark on the spot; a page has one time for many."""
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
    refused("too-early", copy, yard, unit, source, "450 ft lb", **torque)
    yard.check(unit, "block", "blocked", actor=yard.ben, paper=source)
    copy(yard, unit, source, "450 ft lb", **torque)
    refused(
        "too-early", yard.take, unit, "blades", "torque", "450 ft lb", actor=yard.ben,
        position="right", instrument="W-1",
    )  # fmt: skip
    copy(yard, unit, source, "450 ft lb", **{**torque, "position": "right"})
    yard.acknowledge(unit, "blades", yard.ada)
    refused("too-early", yard.sign, unit, "blades")
    yard.acknowledge(unit, "block", yard.ada)
    yard.sign(unit, "block")
    yard.sign(unit, "blades")


def test_the_calibration_that_counts_is_that_of_the_day_on_the_paper(yard: Yard) -> None:
    """A wrench due four days ago was fit a week ago, and is not today."""
    unit = started_yesterday(yard, days=9)
    due = (timezone.now() - timedelta(days=4)).date().isoformat()
    wrench = msgspec.structs.replace(WRENCH, code="W-9", due=due)
    shop.record_instrument(
        actor=yard.otto, command=Command(), site=yard.site, facts=wrench, reason="registered"
    )
    photo = attached(yard, unit)
    yard.acknowledge(unit, "block", yard.ben)
    yard.acknowledge(unit, "blades", yard.ben)
    yard.check(unit, "block", "blocked", actor=yard.ben, paper=by_ada(yard, photo, 8 * 24))
    torque = {"step": "blades", "line": "torque", "position": "left", "instrument": "W-9"}
    today, week_ago = by_ada(yard, photo, 0.1), by_ada(yard, photo, 7 * 24)
    refused("instrument-overdue", copy, yard, unit, today, "450 ft lb", **torque)
    taken = copy(yard, unit, week_ago, "450 ft lb", **torque).events[0]
    assert (taken.instrument.code, taken.instrument.due) == ("W-9", due)
    assert taken.remarks == ("entered 7 days after it happened",)


def test_a_copied_value_beyond_its_limit_raises_a_flag(yard: Yard) -> None:
    """Paper is judged like anything else; a slip in copying is superseded with a reason."""
    unit = started_yesterday(yard)
    source = by_ada(yard, attached(yard, unit))
    first = copy(yard, unit, source, "7 in").events[0]
    assert first.verdict == "nonconforming"
    assert len(record_of(unit).open_flags()) == 1
    refused("already-entered", copy, yard, unit, source, "4 in")
    copy(yard, unit, source, supersedes=first.reading, reason="misread the 4 for a 7")
    assert record_of(unit).open_flags() == []
    assert list(Reading.objects.order_by("recorded").values_list("raw", "current")) == [
        ("7 in", False),
        ("4 in", True),
    ]


def test_a_page_of_another_revision_is_refused_by_its_mark(yard: Yard) -> None:
    """At the picture, and at every entry when the sheet moved on in between."""
    unit = started_yesterday(yard)
    sheet = record_of(unit).sheet
    assert sheet is not None
    no = refused("paper-of-another-revision", attached, yard, unit, mark="0000 0000")
    assert mark_of(sheet.digest) in no.text
    photo = attached(yard, unit, mark=mark_of(sheet.digest).lower().replace(" ", "-"))
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    shop.publish_procedure(actor=yard.otto, command=Command(), text=text)
    sheets.move(
        actor=yard.mira,
        command=Command(),
        unit=unit,
        procedure="TC-SETUP",
        revision=2,
        reason="newer in force",
    )
    refused("paper-of-another-revision", copy, yard, unit, by_ada(yard, photo))
    assert Photo.objects.count() == 1


def test_a_copy_sent_twice_counts_once(yard: Yard) -> None:
    """The picture and the entry alike; another writer under the same id is another wish."""
    unit, same = started_yesterday(yard), Command()
    send: dict[str, Any] = {"actor": yard.ben, "unit": unit, "content": picture()}
    photo = UUID(paper.attach(command=same, **send).events[0].photo)  # type: ignore[union-attr]
    assert paper.attach(command=same, **send).repeated
    assert Photo.objects.count() == 1
    source, same = by_ada(yard, photo), Command()
    first = copy(yard, unit, source, command=same)
    again = copy(yard, unit, source, command=same)
    assert (again.repeated, again.events) == (True, first.events)
    other = OnPaper(photo, yard.ben.username, source.written)
    refused("command-reused", copy, yard, unit, other, command=same)


def test_what_is_copied_waits_for_a_started_sheet(yard: Yard) -> None:
    """Before the sheet there is nothing to copy into; after the release for a buyer no more."""
    unit = yard.receive()
    refused("no-sheet", attached, yard, unit)
    ready = yard.ready()
    photo = attached(yard, ready)
    yard.release(ready)
    refused("released", attached, yard, ready)
    refused("released", copy, yard, ready, by_ada(yard, photo, 0))


def test_an_event_written_before_there_was_paper_is_still_read(yard: Yard) -> None:
    """Old bodies lack the new fields; they mean what they meant."""
    taken = yard.take(yard.started(), "pitch", "front", "4 in").events[0]
    old = {k: v for k, v in msgspec.to_builtins(taken).items() if k != "paper"}
    assert msgspec.convert({**old, "copied_from_paper": True}, ReadingTaken).paper is None
