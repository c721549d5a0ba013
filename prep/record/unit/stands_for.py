"""What a release stands for besides the work being done: whatever somebody should know of it.

A release is signed over a sheet that is complete. That does not say that everything in it went
smoothly: values close to their limits, what was accepted, replaced, left out, entered late or
copied. The manager sees these before signing, and signs over them.
"""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any

import msgspec

from prep.record.moments import Differs
from prep.record.unit import events as e
from prep.record.unit.remark import Contradicts, Late, Remark, SameAs
from prep.record.unit.sheet import applies, asked, lacks_photo
from prep.record.unit.state import BoxKey, Cause, Entry, Record
from prep.rules.conformity.judgment import Verdict

NEAR = frozenset({Verdict.CONFORMING_GUARD, Verdict.NONCONFORMING_GUARD})


class Kind(StrEnum):
    """What it is, in the order it is told."""

    CONCESSION = "accepted-by-concession"
    NEAR_LIMIT = "near-limit"
    MOMENTS = "moments-differ"
    CONTRADICTS = "others-contradict"
    PART = "part-missing"
    PHOTO = "photo-missing"
    SKIPPED = "step-not-applicable"
    REPLACED = "entry-replaced"
    LATE = "entered-late"
    PAPER = "copied-from-paper"
    ALIKE = "typed-alike"
    WITHDRAWN = "release-withdrawn"


class Item(msgspec.Struct, frozen=True):
    """One thing to know: its kind, where it is, and the event that made it so, 0 for none.

    `values` is what its words name.
    """

    kind: Kind
    box: BoxKey
    version: int
    values: Mapping[str, Any] = {}


def stands_for(record: Record) -> tuple[Item, ...]:
    """What a release of the unit as it is would stand for, by kind."""
    items = [
        *_accepted(record),
        *_steps(record),
        *_missing_parts(record),
        *_withdrawn(record),
    ]
    order = list(Kind)
    return tuple(sorted(items, key=lambda item: order.index(item.kind)))


def _accepted(record: Record) -> Iterator[Item]:
    for flag in record.flags.values():
        if flag.concession:
            values = {"about": flag.about, "reason": flag.concession.reason}
            yield Item(Kind.CONCESSION, flag.box, flag.concession.stamp.version, values)


def _steps(record: Record) -> Iterator[Item]:
    """What is to be known of each step that applies, and of its present entries."""
    steps = record.procedure.steps.values() if record.procedure else ()
    for step in steps:
        state = record.steps.get(step.step)
        if not applies(record, step):
            continue
        if state and state.skipped:
            yield Item(Kind.SKIPPED, (step.step, "", ""), 0, {"reason": state.skipped})
            continue
        for place in step.boxes:
            key = (step.step, *place)
            box = record.boxes.get(key)
            if box and box.current:
                yield from _entry(key, box.current)
            if asked(record, step, place) and lacks_photo(record, step, place):
                yield Item(Kind.PHOTO, key, 0)


def _entry(key: BoxKey, entry: Entry) -> Iterator[Item]:
    event, version = entry.event, entry.stamp.version
    typed: str | bool = event.answer if isinstance(event, e.CheckCompleted) else event.raw
    if isinstance(event, e.ReadingTaken) and event.verdict in NEAR:
        yield Item(Kind.NEAR_LIMIT, key, version, {"typed": typed, "limit": event.limit})
    if event.supersedes and event.reason:
        yield Item(Kind.REPLACED, key, version, {"typed": typed, "reason": event.reason})
    if event.paper:
        yield Item(Kind.PAPER, key, version, {"typed": typed, "writer": event.paper.writer_name})
    for remark in event.remarks:
        yield Item(_kind_of(remark), key, version, {"typed": typed, "remark": remark})


def _kind_of(remark: Remark) -> Kind:
    match remark:
        case Late():
            return Kind.LATE
        case SameAs():
            return Kind.ALIKE
        case Contradicts():
            return Kind.CONTRADICTS
        case Differs():
            return Kind.MOMENTS


def _missing_parts(record: Record) -> Iterator[Item]:
    for shortage in record.shortages.values():
        if shortage.arrived is None:
            noted = shortage.event
            values = {"part": noted.part, "count": noted.count}
            yield Item(Kind.PART, ("", "", ""), shortage.stamp.version, values)


def _withdrawn(record: Record) -> Iterator[Item]:
    for release in record.releases:
        if release.withdrawn and release.cause is Cause.RELEASE_WITHDRAWN:
            values = {"reason": release.reason, "nothing_because": release.nothing_because}
            yield Item(Kind.WITHDRAWN, ("", "", ""), release.withdrawn.version, values)
