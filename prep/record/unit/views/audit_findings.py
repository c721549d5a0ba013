"""What an auditor asks about in a unit's history: whatever was not straight ahead.

A finding is no fault. It is a place where the record says more than the last value: what was
replaced, conceded, entered late, read with which tool, or left open.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from prep.record.unit import events as e
from prep.record.unit.commands.entry_remarks import LATE
from prep.record.unit.commands.registrations import registration
from prep.record.unit.state import BoxKey, Record, Stamp

History = Sequence[tuple[Stamp, e.UnitEvent]]
NOWHERE: Final[BoxKey] = ("", "", "")


class Kind(StrEnum):
    """The kinds of finding, in the order they are told."""

    REPLACED = "entry replaced"
    CONCESSION = "released by concession"
    OPEN_FLAG = "flag still open"
    INSTRUMENT = "instrument out of date"
    LATE = "entered late"
    PAPER = "copied from paper"
    SKIPPED = "step not applicable"
    REOPENED = "step worked again"
    WITHDRAWN = "release withdrawn"
    PART = "released with a part missing"
    REGISTRATION = "registration overdue"
    FILE = "file missing or changed"
    LOG = "entry does not hold"


# What stands at the moment of the audit, whenever it began.
STANDING: Final = frozenset({Kind.OPEN_FLAG, Kind.REGISTRATION})

MEANING: Final[dict[Kind, str]] = {
    Kind.REPLACED: "A later entry in the same box; the earlier one stays in the record.",
    Kind.CONCESSION: "A nonconforming item released by a named authority, with a reason.",
    Kind.OPEN_FLAG: "A nonconformity that nothing has closed at this moment.",
    Kind.INSTRUMENT: "Its calibration was due before the reading was taken.",
    Kind.LATE: "Recorded more than an hour after it is said to have happened.",
    Kind.PAPER: "Written on a paper sheet first, and copied.",
    Kind.SKIPPED: "Marked not applicable, with a reason.",
    Kind.REOPENED: "Signed or worked on, then opened again.",
    Kind.WITHDRAWN: "A release taken back, with a reason.",
    Kind.PART: "Noted as missing, and not come when the unit was released.",
    Kind.REGISTRATION: "Not sent by the maker's deadline.",
    Kind.FILE: "A photograph or certificate whose bytes are not those the log names.",
    Kind.LOG: "An entry that is not what was sealed at its place.",
}


@dataclass(frozen=True)
class Finding:
    """One thing to ask about: where it is in the record, whose it is, and what happened."""

    kind: Kind
    text: str
    box: BoxKey
    stamp: Stamp | None


def findings(history: History, record: Record, today: date) -> Iterator[Finding]:
    """Everything to ask about in a history and the record it makes; `today` is its last day."""
    for stamp, event in history:
        for kind, text, box in (*_late(stamp, event), *_of_event(stamp, event, record)):
            yield Finding(kind, text, box, stamp)
    for flag in record.open_flags():
        yield Finding(Kind.OPEN_FLAG, flag.text, flag.box, flag.stamp)
    stands = registration(record, today)
    if stands.state == "overdue" and record.handover:
        text = f"It was due on {stands.due}."
        yield Finding(Kind.REGISTRATION, text, NOWHERE, record.handover[1])


Told = tuple[Kind, str, BoxKey]


def _late(stamp: Stamp, event: e.UnitEvent) -> Iterator[Told]:
    if stamp.recorded - stamp.happened <= LATE:
        return
    match event:
        case e.ReadingTaken() | e.CheckCompleted():
            yield Kind.LATE, f"“{_typed(event)}”", (event.step, event.line, event.position)
        case e.StepSigned():
            yield Kind.LATE, f"signed: {event.meaning}", (event.step, "", "")


def _of_event(stamp: Stamp, event: e.UnitEvent, record: Record) -> Iterator[Told]:
    match event:
        case e.ReadingTaken() | e.CheckCompleted():
            yield from _of_entry(stamp, event, record)
        case e.ConcessionGranted():
            flag = record.flags[event.flag]
            yield Kind.CONCESSION, f"{flag.text} Reason: {event.reason}", flag.box
        case e.StepSkipped():
            yield Kind.SKIPPED, event.reason, (event.step, "", "")
        case e.StepReopened():
            yield Kind.REOPENED, event.reason, (event.step, "", "")
        case e.SheetMoved():
            for step in event.reopened:
                yield Kind.REOPENED, f"moved to revision {event.revision}", (step, "", "")
        case e.Reopened():
            again = f" Steps worked again: {', '.join(event.steps)}." if event.steps else ""
            yield Kind.WITHDRAWN, event.reason + again, NOWHERE
        case e.Released():
            for part in _missing_at(stamp, record):
                yield Kind.PART, part, NOWHERE


def _of_entry(
    stamp: Stamp, event: e.ReadingTaken | e.CheckCompleted, record: Record
) -> Iterator[Told]:
    key = (event.step, event.line, event.position)
    if event.supersedes:
        earlier = [entry for entry in record.boxes[key].entries if entry.id == event.supersedes]
        text = f"“{_typed(earlier[0].event)}”" if earlier else "An earlier entry"
        why = f": {event.reason}" if event.reason else ""
        yield Kind.REPLACED, f"{text} by “{_typed(event)}”{why}", key
    if event.copied_from_paper:
        wrote = f", written by {event.paper.writer_name}" if event.paper else ""
        yield Kind.PAPER, f"“{_typed(event)}”{wrote}", key
    tool = event.instrument if isinstance(event, e.ReadingTaken) else None
    if tool and tool.due and date.fromisoformat(tool.due) < stamp.happened.date():
        yield Kind.INSTRUMENT, f"{tool.code}, {tool.name}, was due on {tool.due}.", key


def _typed(event: e.ReadingTaken | e.CheckCompleted) -> str:
    if isinstance(event, e.CheckCompleted):
        return "yes" if event.answer else "no"
    return event.raw


def _missing_at(release: Stamp, record: Record) -> Iterator[str]:
    for shortage in record.shortages.values():
        came = shortage.arrived
        if shortage.stamp.version < release.version and not (
            came and came.version < release.version
        ):
            yield f"{shortage.event.count} × {shortage.event.part}"
