"""Audit findings: items of a unit's history for an auditor to review.

A finding is not necessarily a problem. It marks an entry that was replaced, conceded, entered late,
copied or read with an overdue instrument, and what is still open.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from prep.record.unit import events as e
from prep.record.unit.commands.registrations import registration
from prep.record.unit.entry_remarks import LATE_AFTER
from prep.record.unit.flag_facts import FlagFacts
from prep.record.unit.state import BoxKey, Record, Stamp

History = Sequence[tuple[Stamp, e.UnitEvent]]
NOWHERE: Final[BoxKey] = ("", "", "")


class Kind(StrEnum):
    """Kinds of finding, in the order they are listed."""

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


# Findings that hold at the time of the audit, whenever they began.
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
    """One item to review: its kind, what happened, the box it is about, and who did it when.

    A finding on a flag says what the flag is `about`, one on a signature what it means.
    """

    kind: Kind
    text: str
    box: BoxKey
    stamp: Stamp | None
    about: FlagFacts | None = None
    meaning: str = ""


def findings(history: History, record: Record, today: date) -> Iterator[Finding]:
    """Findings of a history and the record it folds to; `today` is the last day audited."""
    for stamp, event in history:
        for kind, text, box in (*_late(stamp, event), *_of_event(stamp, event, record)):
            yield Finding(kind, text, box, stamp)
        yield from _of_tokens(stamp, event, record)
    for flag in record.open_flags():
        yield Finding(Kind.OPEN_FLAG, "", flag.box, flag.stamp, flag.about)
    standing = registration(record, today)
    if standing.state == "overdue" and record.handover:
        text = f"It was due on {standing.due}."
        yield Finding(Kind.REGISTRATION, text, NOWHERE, record.handover[1])


KindTextBox = tuple[Kind, str, BoxKey]


def _late(stamp: Stamp, event: e.UnitEvent) -> Iterator[KindTextBox]:
    if stamp.recorded - stamp.happened <= LATE_AFTER:
        return
    if isinstance(event, e.ReadingTaken | e.CheckCompleted):
        yield Kind.LATE, f"“{_typed(event)}”", (event.step, event.line, event.position)


def _of_tokens(stamp: Stamp, event: e.UnitEvent, record: Record) -> Iterator[Finding]:
    """Findings whose words follow from tokens: a late signature, a concession."""
    match event:
        case e.StepSigned() if stamp.recorded - stamp.happened > LATE_AFTER:
            yield Finding(Kind.LATE, "", (event.step, "", ""), stamp, meaning=event.meaning)
        case e.ConcessionGranted():
            flag = record.flags[event.flag]
            yield Finding(Kind.CONCESSION, event.reason, flag.box, stamp, flag.about)


def _of_event(stamp: Stamp, event: e.UnitEvent, record: Record) -> Iterator[KindTextBox]:
    match event:
        case e.ReadingTaken() | e.CheckCompleted():
            yield from _of_entry(stamp, event, record)
        case e.StepSkipped() | e.StepReopened() | e.SheetMoved():
            yield from _of_step(event)
        case e.Reopened():
            again = f" Steps worked again: {', '.join(event.steps)}." if event.steps else ""
            yield Kind.WITHDRAWN, event.reason + again, NOWHERE
        case e.Released():
            for part in _missing_at(stamp, record):
                yield Kind.PART, part, NOWHERE


def _of_step(
    event: e.StepSkipped | e.StepReopened | e.SheetMoved,
) -> Iterator[KindTextBox]:
    match event:
        case e.StepSkipped():
            yield Kind.SKIPPED, event.reason, (event.step, "", "")
        case e.StepReopened():
            yield Kind.REOPENED, event.reason, (event.step, "", "")
        case e.SheetMoved():
            for step in event.reopened:
                yield Kind.REOPENED, f"moved to revision {event.revision}", (step, "", "")


def _of_entry(
    stamp: Stamp, event: e.ReadingTaken | e.CheckCompleted, record: Record
) -> Iterator[KindTextBox]:
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
