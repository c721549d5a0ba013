"""Batches of two devices: doubled, reordered, interleaved and cut, they end in the same record.

What must be the same of a unit: in each box the current entry, as it was typed, with its verdict,
the person who sent it and whom the device named; the flags that are open, by where they are and
what raised them; the missing parts, and whether each has arrived. Ids follow from the commands, so
that they are the same as well. What may differ is the order in which all of it was recorded.
"""

from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from typing import Any
from uuid import NAMESPACE_OID, UUID, uuid5

from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from prep.actions.batches.batch import Device, Sent, Status
from prep.actions.batches.carry_out import carry_out
from prep.models import Event, Person
from prep.queries.records import record_of
from prep.record.unit.views.entry_view import entry_view
from tests.cast import Yard
from tests.record.unit.invariants import rebuilt_differs

Batch = list[Sent]
Outcome = tuple[Any, ...]

BOXES = (
    {"step": "pitch", "line": "front", "text": "4 in"},
    {"step": "pitch", "line": "finish", "text": "scratched"},
    {"step": "splines", "line": "count", "text": "6"},
    {"step": "drawbar", "line": "distance", "text": "16 in", "instrument": "M-1"},
)


class Undone(Exception):
    """Raised to take back a run."""


def command(
    number: int, unit: UUID, values: Mapping[str, Any], *after: Sent, author: str = ""
) -> Sent:
    """The command with a number: the same in every run."""
    earlier = tuple(one.id for one in after)
    at: datetime = timezone.now()
    name = uuid5(NAMESPACE_OID, f"command {number}")
    return Sent(name, values, at, str(unit), None, earlier, author)


def of_two_tablets(unit: UUID, ben: str) -> tuple[Batch, Batch]:
    """What two tablets kept: readings in boxes of their own, a correction, parts, a flag."""
    readings = [{"command": "reading.take", **box} for box in BOXES]
    front = command(1, unit, readings[0])
    better = {**readings[0], "text": "5 in", "supersedes": str(front.id), "reason": "Leveled"}
    part = command(3, unit, {"command": "shortage.note", "part": "Chain guard"})
    adas = [
        front,
        command(2, unit, readings[1], author=ben),
        part,
        command(4, unit, better, front),
        command(5, unit, {"command": "shortage.arrive", "shortage": str(part.id)}, part),
    ]
    wrong = command(6, unit, {**readings[2], "text": "six apples"})
    corrected = {**readings[2], "supersedes": str(wrong.id), "reason": "Counted again"}
    bens = [
        wrong,
        command(7, unit, corrected, wrong),
        command(8, unit, readings[2]),
        command(9, unit, readings[3]),
        command(10, unit, {"command": "flag.raise", "text": "Decal torn"}),
        command(11, unit, {"command": "shortage.note", "part": "Lug nut", "count": 2}),
    ]
    return adas, bens


def outcome(unit: UUID) -> Outcome:
    """What must be the same of the unit, however it came to be."""
    record = record_of(unit)
    entries = {}
    for key, box in record.boxes.items():
        if box.current:
            view = entry_view(box.current)
            stamp = view.stamp
            entries[key] = (
                view.id,
                view.raw,
                view.verdict,
                view.canonical,
                stamp.actor,
                stamp.named,
            )
    flags = {(flag.id, flag.box, flag.about.origin) for flag in record.open_flags()}
    parts = {
        (key, part.event.part, part.event.count, part.arrived is not None)
        for key, part in record.shortages.items()
    }
    return entries, flags, parts


def ordered(batch: Batch) -> st.SearchStrategy[Batch]:
    """The commands of a batch in any order that respects what each comes after."""

    @st.composite
    def orders(draw: st.DrawFn) -> Batch:
        left, put = list(batch), list[Sent]()
        while left:
            there = {one.id for one in put}
            ready = [one for one in left if set(one.after) <= there]
            put.append(draw(st.sampled_from(ready)))
            left.remove(put[-1])
        return put

    return orders()


@st.composite
def sendings(draw: st.DrawFn, adas: Batch, bens: Batch) -> list[tuple[int, Batch]]:
    """Pieces of both batches, some sent twice, interleaved, and at last each batch as a whole."""
    pieces: list[tuple[int, Batch]] = []
    for who, batch in enumerate((draw(ordered(adas)), draw(ordered(bens)))):
        cuts = sorted(draw(st.lists(st.integers(0, len(batch)), max_size=3)))
        # A cut batch is sent from its beginning again: the tablet does not know what arrived.
        pieces += [(who, batch[:cut]) for cut in cuts]
        doubled = [one for one in batch for _ in range(draw(st.integers(1, 2)))]
        pieces.append((who, doubled))
    return draw(st.permutations(pieces))


def run(unit: UUID, staff: tuple[Person, Person], pieces: list[tuple[int, Batch]]) -> Outcome:
    """What a unit is like after these sendings; all of it is taken back."""
    result: Outcome = ()
    try:
        with transaction.atomic():
            for who, batch in pieces:
                device = Device(f"Tablet {who}", 0)
                list(carry_out(batch, person=staff[who], device=device))
            counted = Counter(Event.objects.filter(kind="command.refused").values_list("command"))
            assert set(counted.values()) <= {1}
            assert rebuilt_differs(unit) == []
            result = outcome(unit)
            raise Undone
    except Undone:
        return result


def test_however_two_tablets_send_their_batches_the_record_is_the_same(yard: Yard) -> None:
    """And nothing is doubled: neither entry, flag, part, nor what was not taken."""
    unit = yard.started()
    yard.assign(unit)
    adas, bens = of_two_tablets(unit, yard.ben.username)
    staff = (yard.ada, yard.ben)
    whole = run(unit, staff, [(0, adas), (1, bens)])
    entries, flags, parts = whole
    assert {key[1]: entry[1] for key, entry in entries.items()} == {
        "front": "5 in",
        "finish": "scratched",
        "count": "6",
        "distance": "16 in",
    }
    assert sorted(origin for _, _, origin in flags) == ["person", "reading", "reading"]
    assert sorted(part[1:] for part in parts) == [("Chain guard", 1, True), ("Lug nut", 2, False)]

    @settings(max_examples=25, suppress_health_check=list(HealthCheck))
    @given(sendings(adas, bens))
    def same(pieces: list[tuple[int, Batch]]) -> None:
        assert run(unit, staff, pieces) == whole

    same()


def test_a_batch_cut_anywhere_goes_on_with_the_same_outcomes(yard: Yard) -> None:
    """The process is killed between two commands: sent again, what was done is repeated."""
    unit = yard.started()
    yard.assign(unit)
    adas, _ = of_two_tablets(unit, yard.ben.username)
    for cut in range(len(adas)):
        with suppress(Undone), transaction.atomic():
            _cut_and_sent_again(adas, cut, yard.ada)
            raise Undone


def _cut_and_sent_again(batch: Batch, cut: int, who: Person) -> None:
    tablet = Device("Tablet 2", 0)
    sending = carry_out(batch, person=who, device=tablet)
    first = [next(sending) for _ in range(cut)]
    again = list(carry_out(batch, person=who, device=tablet))
    statuses = [one.status for one in again]
    assert statuses == [*[Status.REPEATED] * cut, *[Status.DONE] * (len(batch) - cut)]
    for one, other in zip(first, again, strict=False):
        assert one.outcome is not None
        assert other.outcome is not None
        told = (one.outcome.version, one.outcome.events)
        assert told == (other.outcome.version, other.outcome.events)
