"""Copying entries from handwritten pages: what is recorded, and what is refused."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import msgspec
import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Photo, Reading
from prep.queries.records import record_of
from prep.record.facts import Paper
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.handwritten import AttachPage, PaperSource, mark_of
from prep.record.unit.commands.photos import AttachPhoto
from prep.record.unit.commands.sheets import MoveSheet, StartSheet
from prep.record.unit.events import CheckCompleted, ReadingTaken
from prep.record.unit.remark import Late
from tests.cast import DOCUMENTS, Yard
from tests.record.unit.handwriting import attached, by_ada, copy, started_yesterday
from tests.refusals import refused
from tests.stored_files import own_folders, picture


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Pictures of a test lie in its folder."""
    own_folders(settings, tmp_path)


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
    assert taken.remarks == (Late(minutes=180),)
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
    """An entry made on the tablet has no source."""
    taken = yard.take(yard.started(), "pitch", "front", "4 in").events[0]
    assert (taken.copied_from_paper, taken.paper) == (False, None)


def test_nothing_is_copied_without_a_picture(yard: Yard) -> None:
    """No photo, a photo that is not of a page, and one of another unit."""
    unit, other = started_yesterday(yard), started_yesterday(yard)
    refused("no-paper", copy, yard, unit, by_ada(yard, uuid4()))
    taken = perform(
        AttachPhoto(step="pitch", line="finish"), actor=yard.ada, target=unit, attachment=picture()
    )
    of_paint = UUID(taken.events[0].photo)
    refused("no-paper", copy, yard, unit, by_ada(yard, of_paint))
    refused("no-paper", copy, yard, unit, by_ada(yard, attached(yard, other)))


def test_paper_is_of_the_time_of_the_sheet(yard: Yard) -> None:
    """Not of the future, and not from before the sheet was started."""
    unit = started_yesterday(yard)
    photo = attached(yard, unit)
    no = refused("happened-in-future", copy, yard, unit, by_ada(yard, photo, -0.04))
    assert no.field == "paper.written"
    refused("happened-before-start", copy, yard, unit, by_ada(yard, photo, 24.1))
    copy(yard, unit, by_ada(yard, photo, 23.9))


def test_paper_tells_minutes(yard: Yard) -> None:
    """“10:04” is not before a sheet that was started at 10:04:40."""
    day = timezone.now() - timedelta(days=1)
    at = day.replace(second=40, microsecond=0)
    unit = yard.receive(happened=at)
    perform(StartSheet(), actor=yard.ada, submission=Submission(happened=at), target=unit)
    photo = attached(yard, unit)
    early = PaperSource(photo, yard.ada.username, at.replace(second=0) - timedelta(minutes=1))
    refused("happened-before-start", copy, yard, unit, early)
    copy(yard, unit, PaperSource(photo, yard.ada.username, at.replace(second=0)))


def test_a_copied_value_beyond_its_limit_raises_a_flag(yard: Yard) -> None:
    """A copied entry is judged like others; an error in copying is superseded with a reason."""
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
    assert no.details == {"mark": "0000 0000", "in_force": mark_of(sheet.digest)}
    photo = attached(yard, unit, mark=mark_of(sheet.digest).lower().replace(" ", "-"))
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    perform(
        MoveSheet(procedure="TC-SETUP", revision=2, reason="newer in force"),
        actor=yard.mira,
        target=unit,
    )
    refused("paper-of-another-revision", copy, yard, unit, by_ada(yard, photo))
    assert Photo.objects.count() == 1


def test_a_copy_sent_twice_counts_once(yard: Yard) -> None:
    """The picture and the entry alike; another writer under the same id is another request."""
    unit, same = started_yesterday(yard), Submission()
    send: dict[str, Any] = {"actor": yard.ben, "target": unit, "attachment": picture()}
    photo = UUID(perform(AttachPage(), submission=same, **send).events[0].photo)
    assert perform(AttachPage(), submission=same, **send).repeated
    assert Photo.objects.count() == 1
    source, same = by_ada(yard, photo), Submission()
    first = copy(yard, unit, source, command=same)
    again = copy(yard, unit, source, command=same)
    assert (again.repeated, again.events) == (True, first.events)
    other = PaperSource(photo, yard.ben.username, source.written)
    refused("command-reused", copy, yard, unit, other, command=same)


def test_what_is_copied_waits_for_a_started_sheet(yard: Yard) -> None:
    """Refused before the sheet is started, and after the release for a buyer."""
    unit = yard.receive()
    refused("no-sheet", attached, yard, unit)
    ready = yard.ready()
    photo = attached(yard, ready)
    yard.release(ready)
    refused("released", attached, yard, ready)
    refused("released", copy, yard, ready, by_ada(yard, photo, 0))


def test_an_event_written_before_there_was_paper_is_still_read(yard: Yard) -> None:
    """Event bodies without the newer fields keep their meaning."""
    taken = yard.take(yard.started(), "pitch", "front", "4 in").events[0]
    old = {k: v for k, v in msgspec.to_builtins(taken).items() if k != "paper"}
    assert msgspec.convert({**old, "copied_from_paper": True}, ReadingTaken).paper is None
