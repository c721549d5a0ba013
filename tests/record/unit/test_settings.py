"""Settings are no readings: what a click wrench was set to, how many bolts, how many moved."""

from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.models import Event, Flag, Reading
from prep.queries.records import record_of
from prep.record.unit.commands.entries import CheckSetting
from prep.record.unit.events import SettingChecked
from prep.record.unit.views.drawings import among_limits, over_time
from prep.record.unit.views.entry_view import SettingView, entry_view
from prep.words.reader import ENGLISH
from prep.words.rules.drawings import DrawingWords
from prep.words.unit.flags import kept_flag_text
from prep.words.unit.history import event_text
from tests.cast import Yard
from tests.record.unit.invariants import rebuilt_differs
from tests.refusals import refused
from tests.setting_sheets import set_wrench, with_settings

BOX = ("blades", "torque", "left")


def test_a_setting_is_kept_with_its_wrench_and_counts_and_is_no_measured_value(yard: Yard) -> None:
    """450 ft·lbf on W-1, six bolts, all of them turned."""
    unit = with_settings(yard)
    event = set_wrench(yard, unit).events[0]
    assert isinstance(event, SettingChecked)
    assert (event.verdict, event.fasteners, event.checked, event.moved) == (
        "setting-in-limit",
        6,
        6,
        6,
    )
    assert event.instrument is not None
    assert event.instrument.code == "W-1"
    entry = record_of(unit).boxes[BOX].entries[-1]
    view = entry_view(entry)
    assert (view.value, view.unit, view.canonical, view.typed) == ("", "", "", "")
    assert view.setting == SettingView("450", "ft·lbf", "610.118076749", "N·m", 6, 6, 6)
    row = Reading.objects.get(unit=unit, step="blades")
    assert (row.kind, row.canonical, row.instrument) == ("setting", "", "W-1")
    words = DrawingWords(ENGLISH)
    assert among_limits(entry, words) is None
    assert over_time([entry, entry], words) is None
    assert rebuilt_differs(unit) == []
    assert event_text(event, record_of(unit), ENGLISH) == (
        "Blade bolt (left): tool set to “450 ft lb”, 6 of 6 gone over, 6 moved, set in limit."
    )


@pytest.mark.parametrize(
    ("text", "verdict", "flag"),
    [
        (
            "500 ft lb",
            "setting-out-of-limit",
            "Blade bolt (left): the tool was set to 500 ft lb. The limit is 450 ± 22.5 ft·lbf. "
            "Set it right and go over them again.",
        ),
        (
            "472 ft lb",
            "setting-near-limit",
            "Blade bolt (left): 472 ft lb is too close to the limit for this tool. Limit: "
            "450 ± 22.5 ft·lbf.",
        ),
    ],
)
def test_a_wrench_set_out_of_limit_is_flagged_until_it_was_set_right(
    yard: Yard, text: str, verdict: str, flag: str
) -> None:
    """427.5 to 472.5 ft·lbf, guarded by the wrench's own uncertainty (ISO 14253-1:2017)."""
    unit = with_settings(yard)
    first = set_wrench(yard, unit, text).events[0]
    assert first.verdict == verdict
    assert kept_flag_text(Flag.objects.get(unit=unit).about, ENGLISH) == flag
    set_wrench(yard, unit, supersedes=first.setting, reason="Set right, gone over again.")
    assert not Flag.objects.get(unit=unit).open


def test_bolts_left_out_are_flagged(yard: Yard) -> None:
    """Five of six."""
    unit = with_settings(yard)
    event = set_wrench(yard, unit, checked=5, moved=5).events[0]
    assert event.verdict == "fasteners-left-out"
    assert kept_flag_text(Flag.objects.get(unit=unit).about, ENGLISH) == (
        "Blade bolt (left): 5 of 6 were gone over. Go over the others too."
    )


def test_bolts_that_move_where_none_may_are_flagged_and_others_are_not(yard: Yard) -> None:
    """After the first use every bolt has to stand."""
    unit = with_settings(yard, may_move=0)
    event = set_wrench(yard, unit, moved=2).events[0]
    assert event.verdict == "fasteners-moved"
    assert kept_flag_text(Flag.objects.get(unit=unit).about, ENGLISH) == (
        "Blade bolt (left): 2 of 6 moved. Go over them again until none moves."
    )
    again = {"supersedes": event.setting, "reason": "Tightened, gone over again."}
    assert set_wrench(yard, unit, moved=0, **again).events[0].verdict == "setting-in-limit"
    assert record_of(unit).open_flags() == []


@pytest.mark.parametrize(
    ("code", "field", "more"),
    [
        ("more-than-there-are", "checked", {"checked": 7}),
        ("more-moved-than-checked", "moved", {"checked": 3, "moved": 4}),
        ("instrument-missing", "instrument", {"instrument": ""}),
        ("instrument-overdue", "instrument", {"instrument": "W-2"}),
        ("instrument-wrong-kind", "instrument", {"instrument": "M-1"}),
        ("instrument-out-of-range", "instrument", {"text": "100 ft lb"}),
        ("ambiguous", "text", {"text": "450 lb"}),
        ("unreadable", "text", {"text": "asdf;"}),
        ("input-unfit", "checked", {"checked": 0}),
        ("input-unfit", "moved", {"moved": -1}),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    yard: Yard, code: str, field: str, more: dict[str, Any]
) -> None:
    """More than there are, another tool, a unit that could be a force."""
    unit = with_settings(yard)
    before = Event.objects.filter(stream="unit").count()
    no = refused(code, set_wrench, yard, unit, **more)
    assert no.field == field or field in str(no.details)
    assert Event.objects.filter(stream="unit").count() == before


def test_a_line_takes_its_own_kind_of_entry_only(yard: Yard) -> None:
    """No reading where a wrench is set, no setting where something is read."""
    unit = with_settings(yard)
    where = {"position": "left", "instrument": "W-1"}
    refused("not-a-reading", yard.take, unit, "blades", "torque", "450 ft lb", **where)
    refused("not-a-check", yard.check, unit, "blades", "torque", position="left")
    no = refused("not-a-setting", _set_height, yard, unit)
    assert no.details["ask"] == "Front tip height"


def _set_height(yard: Yard, unit: UUID) -> None:
    command = CheckSetting(step="pitch", line="front", text="4 in", checked=1, moved=0)
    perform(command, actor=yard.ada, target=unit)


def test_words_instead_of_a_setting_are_a_note_and_do_not_count(yard: Yard) -> None:
    """“OK” is kept, and the step stays open."""
    unit = with_settings(yard)
    assert set_wrench(yard, unit, "OK").events[0].verdict == "not-measured"
    refused("incomplete", yard.sign, unit, "blades")


def test_a_step_of_settings_is_signed_like_any_other(yard: Yard) -> None:
    """Both sides, the preparer, the second person."""
    unit = with_settings(yard)
    set_wrench(yard, unit)
    set_wrench(yard, unit, position="right")
    yard.sign(unit, "blades")
    yard.second(unit, "blades")
    assert record_of(unit).open_flags() == []
