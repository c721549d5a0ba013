"""The two views of a unit's past: what was known at a moment, and what had happened by it."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.queries.records import past_of, record_of
from prep.record.unit.commands.flags import CloseFlag, RaiseFlag
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.shortages import NoteShortage, RecordArrival
from prep.record.unit.views.index_rows import rows
from prep.record.unit.views.past import LeftOut, Past, Reference, View
from prep.words.reader import ENGLISH
from prep.words.unit.past import left_out_texts, view_text
from tests.cast import Yard, days_ago

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


def happened(span: timedelta) -> Submission:
    """What is entered now of some time ago."""
    return Submission(happened=timezone.now() - span)


def test_a_unit_received_by_the_page_on_the_first_and_entered_on_the_twentieth(yard: Yard) -> None:
    """On the tenth the record did not know it, and it was here."""
    unit = yard.receive(happened=timezone.now() - 20 * DAY)
    tenth = timezone.now() - 10 * DAY
    known = past_of(unit, View.KNOWN_AT, tenth)
    by_then = past_of(unit, View.HAPPENED_BY, tenth)
    assert (known.record.received, known.events) == (None, ())
    assert by_then.record.received is not None
    assert by_then.record.serial


def test_known_at_is_a_prefix_and_happened_by_a_selection(yard: Yard) -> None:
    """A reading made by then and sent later is in one of the two."""
    with days_ago(3):
        unit = yard.started()
        yard.take(unit, "pitch", "finish", "good")
    yard.take(unit, "pitch", "front", "4 in", command=happened(2 * DAY))
    then = timezone.now() - DAY
    known = past_of(unit, View.KNOWN_AT, then)
    by_then = past_of(unit, View.HAPPENED_BY, then)
    assert [stamp.version for stamp, _ in known.events] == [1, 2, 3]
    assert [stamp.version for stamp, _ in by_then.events] == [1, 2, 3, 4]
    assert by_then.left_out == ()


def test_both_views_end_in_the_present(yard: Yard) -> None:
    """At the last moment and after it they are the record itself."""
    unit = yard.ready()
    yard.release(unit)
    now = timezone.now() + HOUR
    for view in View:
        past = past_of(unit, view, now)
        assert rows(past.record) == rows(record_of(unit))
        assert past.left_out == ()


@pytest.mark.parametrize("view", View)
@pytest.mark.parametrize("moment", [datetime.min, datetime.max])
def test_at_the_ends_of_the_calendar_nothing_breaks(
    yard: Yard, view: View, moment: datetime
) -> None:
    """Before everything and after it."""
    unit = yard.prepared()
    past = past_of(unit, view, moment.replace(tzinfo=UTC))
    assert bool(past.events) is (moment == datetime.max)


def views_of(yard: Yard) -> Past:
    """What had happened a day ago, of a unit of which much was entered out of its order."""
    with days_ago(3):
        unit = yard.receive()
        perform(StartSheet(), actor=yard.ada, target=unit)
        perform(NoteShortage(part="Decal"), actor=yard.ada, target=unit)
    first = yard.take(unit, "pitch", "front", "7 in").events[0]  # and a flag, now
    again: dict[str, Any] = {"supersedes": first.reading, "reason": "Again"}
    yard.take(unit, "pitch", "front", "4 in", command=happened(2 * DAY), **again)
    perform(RaiseFlag(text="Decal torn"), actor=yard.sol, target=unit)
    flag = record_of(unit).open_flags()[0].id
    perform(CloseFlag(flag=flag, text="New decal"), actor=yard.ada, target=unit)
    shortage = next(iter(record_of(unit).shortages))
    perform(
        RecordArrival(shortage=shortage), actor=yard.ben, target=unit, submission=happened(2 * DAY)
    )
    return past_of(unit, View.HAPPENED_BY, timezone.now() - DAY)


def test_what_refers_to_something_left_out_is_named(yard: Yard) -> None:
    """An entry counts without the one it replaced; the closing of a later flag goes with it."""
    past = views_of(yard)
    assert past.left_out == (
        LeftOut(6, "reading.taken", Reference.ENTRY, whole=False),
        LeftOut(7, "flag.closed", Reference.FLAG, whole=True),
    )
    box = past.record.boxes["pitch", "front", ""]
    assert [getattr(entry.event, "supersedes", None) for entry in box.entries] == [""]
    assert past.record.flags == {}
    (shortage,) = past.record.shortages.values()
    assert shortage.arrived is not None
    assert left_out_texts(past.left_out, ENGLISH) == [
        "Entry 6 is shown without the entry it is about, which happened later.",
        "Entry 7 is left out: the flag happened later.",
    ]


def test_a_view_says_which_of_the_two_it_is(yard: Yard) -> None:
    """In words that nobody takes for the other."""
    unit = yard.receive()
    moment = datetime(2026, 3, 2, 8, 15, tzinfo=UTC)
    said = {view: view_text(past_of(unit, view, moment), moment, ENGLISH) for view in View}
    assert said == {
        View.KNOWN_AT: "As the records stood on 2 March 2026, 08:15 (UTC+00:00). What was entered "
        "later is not shown.",
        View.HAPPENED_BY: "What had happened by 2 March 2026, 08:15 (UTC+00:00), by all that is "
        "known now. What was entered later but happened before is shown.",
    }
