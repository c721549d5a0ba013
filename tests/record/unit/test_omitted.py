"""Not measured, because: an answer that never counts, until somebody measures or accepts it."""

from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.models import Event, Flag, Reading, Unit
from prep.queries.records import record_of
from prep.record.unit.commands.entries import OmitReading, TakeReading
from prep.record.unit.commands.flags import CloseFlag, GrantConcession
from prep.record.unit.events import ReadingTaken
from prep.record.unit.readiness import readiness
from prep.words.reader import ENGLISH
from prep.words.unit.flags import kept_flag_text
from tests.cast import PIN, Yard
from tests.refusals import refused

BECAUSE = "the sight gauge is broken"
FRONT: dict[str, Any] = {"step": "pitch", "line": "front"}


@pytest.mark.parametrize("typed", ["text", "button"])
def test_it_keeps_its_reason_and_raises_a_flag(yard: Yard, typed: str) -> None:
    """Typed as a reading or said by the button: the same entry, but for the words typed."""
    unit = yard.started()
    if typed == "text":
        yard.take(unit, **FRONT, text=f"not measured, because {BECAUSE}")
    else:
        perform(OmitReading(**FRONT, because=BECAUSE), actor=yard.ada, target=unit)
    entry = record_of(unit).boxes["pitch", "front", ""].entries[-1].event
    assert isinstance(entry, ReadingTaken)
    assert (entry.because, entry.verdict, entry.canonical) == (BECAUSE, "not-measured", "")
    assert entry.limit
    flag = Flag.objects.get(unit=unit, open=True)
    assert flag.origin == "not-measured"
    assert kept_flag_text(flag.about, ENGLISH) == (
        "Front tip height was not measured: “the sight gauge is broken”"
    )


def test_it_never_counts(yard: Yard) -> None:
    """The step cannot be signed, and the unit is not ready; no word closes its flag."""
    unit = yard.started()
    yard.block_deck(unit)
    perform(OmitReading(**FRONT, because=BECAUSE), actor=yard.ada, target=unit)
    yard.take(unit, "pitch", "finish", "good")
    refused("incomplete", yard.sign, unit, "pitch")
    reasons = readiness(record_of(unit)).stock
    assert ("flag-open", "pitch") in {(each.code, each.step) for each in reasons}
    closing = CloseFlag(flag=Flag.objects.get(unit=unit).id, text="looks fine")
    refused("needs-entry", perform, closing, actor=yard.ada, target=unit)


def test_a_reading_closes_its_flag_without_a_reason(yard: Yard) -> None:
    """Nothing that was measured is corrected; both entries stay."""
    unit = yard.started()
    perform(OmitReading(**FRONT, because=BECAUSE), actor=yard.ada, target=unit)
    yard.take(unit, **FRONT, text="4 in")
    assert not Flag.objects.get(unit=unit).open
    assert list(Reading.objects.order_by("recorded").values_list("raw", "verdict", "current")) == [
        (BECAUSE, "not-measured", False),
        ("4 in", "conforming", True),
    ]


def test_a_manager_accepts_it_under_their_own_name(yard: Yard) -> None:
    """Then the step can be signed, over the concession; the entry still says not measured."""
    unit = yard.started()
    yard.block_deck(unit)
    perform(OmitReading(**FRONT, because=BECAUSE), actor=yard.ada, target=unit)
    yard.take(unit, "pitch", "finish", "good")
    granting = GrantConcession(flag=Flag.objects.get(unit=unit).id, reason="Level by eye", pin=PIN)
    refused("not-allowed", perform, granting, actor=yard.ada, target=unit)
    perform(granting, actor=yard.mira, target=unit)
    yard.sign(unit, "pitch")
    assert Reading.objects.get(unit=unit, line="front").verdict == "not-measured"
    assert Unit.objects.get(pk=unit).open_flags == 0


def test_it_does_not_hide_a_reading_that_is_out_of_limit(yard: Yard) -> None:
    """By neither way; the flag of the reading stays, and nothing is recorded."""
    unit = yard.started()
    first = yard.take(unit, **FRONT, text="7 in").events[0]
    before = Event.objects.count()
    correcting = {"supersedes": first.reading, "reason": "The gauge broke"}
    omitted = OmitReading(**FRONT, because=BECAUSE, **correcting)
    refused("flag-stands", perform, omitted, actor=yard.ada, target=unit)
    text = f"not measured: {BECAUSE}"
    refused("flag-stands", yard.take, unit, **FRONT, text=text, **correcting)
    assert Event.objects.count() == before
    assert Flag.objects.get(unit=unit, open=True).origin == "reading"


def test_it_takes_a_reason_and_a_box_that_is_measured(yard: Yard) -> None:
    """A check is answered no, with its problem."""
    unit = yard.started()
    refused("input-unfit", perform, OmitReading(**FRONT, because=" "), actor=yard.ada, target=unit)
    no = refused("unreadable", yard.take, unit, **FRONT, text="not measured")
    assert no.details["why"].code == "reason-missing"
    check = OmitReading(step="block", line="blocked", because=BECAUSE)
    refused("not-a-reading", perform, check, actor=yard.ada, target=unit)
    assert Reading.objects.count() == 0


def _taken(yard: Yard, machine: UUID, **fields: Any) -> Any:
    """Ada's reading, as it is in the log."""
    return perform(TakeReading(**FRONT, **fields), actor=yard.ada, target=machine).events[0]


def test_the_unit_chosen_beside_the_box_is_kept_beside_the_text(yard: Yard) -> None:
    """A bare number is read in it; what is written prevails; one of another quantity is refused."""
    unit = yard.started()
    taken = _taken(yard, unit, text="104.7", unit="mm")
    assert (taken.raw, taken.unit_chosen, taken.unit, taken.canonical) == (
        *("104.7", "mm", "mm"),
        "104.7",
    )
    more = {"supersedes": taken.reading, "reason": "typed again"}
    no = refused("unit-of-another-box", _taken, yard, unit, text="4", unit="psi", **more)
    assert no.field == "unit"
    again = _taken(yard, unit, text='4"', unit="mm", **more)
    assert (again.unit_chosen, again.unit) == ("mm", "in")


def test_a_value_that_no_machine_has_is_a_slip_and_refused(yard: Yard) -> None:
    """With the bounds; nothing is recorded."""
    unit = yard.started()
    no = refused("reading-implausible", yard.take, unit, **FRONT, text="4000 m")
    assert (no.details["least"], no.details["most"]) == ("-100000 mm", "100000 mm")
    assert Reading.objects.count() == 0
