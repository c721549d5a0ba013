"""What a release stands for: told before it is signed, signed over, and the same ever after."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
import pytest
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.queries.records import record_of
from prep.record.instrument.commands import RecordInstrument
from prep.record.unit.commands.releases import ReleaseUnit, ReopenUnit, sheet_digest
from prep.record.unit.commands.shortages import NoteShortage
from prep.record.unit.stands_for import stands_for
from prep.words.reader import ENGLISH
from prep.words.unit.stands_for import shown_item
from tests.cast import NOT_THE_WORK, PIN, WRENCH, Yard, days_ago
from tests.record.unit.handwriting import attached, by_ada, copy
from tests.refusals import refused
from tests.stored_files import own_folders


def told(unit: UUID) -> list[tuple[str, str, str]]:
    """Kind, place and text of what a release would stand for."""
    record = record_of(unit)
    shown = [shown_item(item, record, ENGLISH) for item in stands_for(record)]
    return [(one.kind.value, one.where, one.text) for one in shown]


def test_a_smooth_preparation_has_nothing_to_tell(yard: Yard) -> None:
    """The control: everything else here has to come from somewhere."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit, right="455 ft lb")
    yard.level(unit)
    assert told(unit) == []


@pytest.fixture
def eventful(yard: Yard, settings: Any, tmp_path: Path) -> UUID:
    """A unit with one of everything that somebody should know before it is released."""
    own_folders(settings, tmp_path)
    wrench = msgspec.structs.replace(
        WRENCH, code="W-9", due=(timezone.now() - timedelta(days=4)).date().isoformat()
    )
    with days_ago(20):
        perform(RecordInstrument(site=yard.site, instrument=wrench, reason="new"), actor=yard.otto)
    with days_ago(9):
        unit = yard.started()
        yard.block_deck(unit)
        yard.acknowledge(unit, "blades")
    perform(NoteShortage(part="Decal", stops_release=False), actor=yard.ada, target=unit)
    late = Submission(happened=timezone.now() - timedelta(days=7))
    side: dict[str, Any] = {"position": "left", "instrument": "W-9", "command": late}
    yard.take(unit, "blades", "torque", "450 ft lb", **side)
    yard.concede(unit, "It came due overnight.")
    yard.take(unit, "blades", "torque", "472 ft lb", position="right", instrument="W-1")
    yard.concede(unit, "No better wrench here.")
    yard.sign(unit, "blades")
    yard.second(unit, "blades")
    source = by_ada(yard, attached(yard, unit))
    first = copy(yard, unit, source, "7 in").events[0]
    again = {"supersedes": first.reading, "reason": "misread the 4 for a 7"}
    copy(yard, unit, source, "4 in", **again)
    yard.take(unit, "pitch", "finish", "good")
    yard.sign(unit, "pitch")
    yard.release(unit)
    perform(
        ReopenUnit(reason="Serial misread.", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    return unit


def test_whatever_somebody_should_know_is_told_with_its_place(eventful: UUID) -> None:
    """By kind, what weighs most first."""
    left, right = "Torque the blade bolts: Blade bolt (left)", "Torque the blade bolts: Blade bolt"
    front = "Level fore and aft: Front tip height"
    kinds = [(kind, where) for kind, where, _ in told(eventful)]
    assert [kind for kind, _ in kinds] == [
        "accepted-by-concession",
        "accepted-by-concession",
        "near-limit",
        "moments-differ",
        "part-missing",
        "entry-replaced",
        "entered-late",
        "entered-late",
        "copied-from-paper",
        "release-withdrawn",
    ]
    assert kinds[0] == ("accepted-by-concession", left)
    assert kinds[2] == ("near-limit", f"{right} (right)")
    texts = {kind: text for kind, _, text in told(eventful)}
    assert texts["part-missing"] == "1 × Decal"
    assert texts["entry-replaced"] == "now “4 in”: misread the 4 for a 7"
    assert texts["copied-from-paper"] == "“4 in”, written by Ada Invented"
    assert texts["release-withdrawn"].startswith("Serial misread. Nothing to be done again")
    assert dict(kinds)["copied-from-paper"].startswith(front[:18])


def test_what_was_shown_is_what_the_release_keeps(yard: Yard, eventful: UUID) -> None:
    """The digest of the event can be computed again from the record, for whoever doubts."""
    before = stands_for(record_of(eventful))
    yard.release(eventful)
    record = record_of(eventful)
    assert record.release is not None
    assert record.release.event.content == sheet_digest(record)
    assert stands_for(record) == before


def test_a_release_of_what_changed_since_it_was_shown_is_refused(yard: Yard) -> None:
    """A missing part that was noted meanwhile stops nothing by itself, but nobody had seen it."""
    unit = yard.prepared()
    shown = ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN)
    perform(NoteShortage(part="Decal", stops_release=False), actor=yard.ada, target=unit)
    manager: dict[str, Any] = {"actor": yard.mira, "target": unit}
    assert refused("content-changed", perform, shown, **manager).field == "seen"
    yard.release(unit)
    assert record_of(unit).release is not None
