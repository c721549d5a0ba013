"""Audit findings: items of a unit's history for an auditor to review.

A finding is not necessarily a problem. It marks an entry that was replaced, conceded, entered late,
copied or read with an overdue instrument, and what is still open.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, Final

from prep.record.unit import events as e
from prep.record.unit.commands.registrations import registration
from prep.record.unit.entries.remarking import LATE_AFTER
from prep.record.unit.events.identity import ModelCorrected, PlateCorrected
from prep.record.unit.flag_facts import FlagFacts
from prep.record.unit.guards import fits
from prep.record.unit.remark import differences
from prep.record.unit.state import BoxKey, Record, Stamp

History = Sequence[tuple[Stamp, e.UnitEvent]]
NOWHERE: Final[BoxKey] = ("", "", "")


class Kind(StrEnum):
    """Kinds of finding, in the order they are listed."""

    REPLACED = "entry-replaced"
    CONCESSION = "accepted-by-concession"
    OPEN_FLAG = "flag-open"
    INSTRUMENT = "instrument-overdue"
    MOMENTS = "moments-differ"
    LATE = "entered-late"
    PAPER = "copied-from-paper"
    SKIPPED = "step-not-applicable"
    REOPENED = "step-reopened"
    WITHDRAWN = "release-withdrawn"
    PLATE = "plate-corrected"
    MODEL = "model-corrected"
    MISFIT = "procedure-not-for-unit"
    PART = "part-missing"
    REGISTRATION = "registration-overdue"
    FILE = "file-damaged"
    LOG = "entry-damaged"


# Findings that hold at the time of the audit, whenever they began.
STANDING: Final = frozenset({Kind.OPEN_FLAG, Kind.MISFIT, Kind.REGISTRATION})


@dataclass(frozen=True)
class Finding:
    """One item to review: its kind, the box it is about, who did it when, and its values.

    A finding on a flag has what the flag is `about`. `prep.words.unit.audit_findings` has the
    sentence of each kind; the values are what it names. What was typed is text, or a bool for the
    answer of a check.
    """

    kind: Kind
    box: BoxKey
    stamp: Stamp | None
    values: Mapping[str, Any] = field(default_factory=dict)
    about: FlagFacts | None = None


def findings(history: History, record: Record, today: date) -> Iterator[Finding]:
    """Findings of a history and the record it folds to; `today` is the last day audited."""
    for stamp, event in history:
        yield from _late(stamp, event)
        yield from _of_event(stamp, event, record)
    for flag in record.open_flags():
        yield Finding(Kind.OPEN_FLAG, flag.box, flag.stamp, about=flag.about)
    if record.procedure and not fits(record):
        procedure = {"title": record.procedure.title, "revision": record.procedure.revision}
        yield Finding(Kind.MISFIT, NOWHERE, record.sheet_started, procedure)
    standing = registration(record, today)
    if standing.state == "overdue" and record.handover:
        handed_over = record.handover[1]
        yield Finding(Kind.REGISTRATION, NOWHERE, handed_over, {"due": standing.due})


def _late(stamp: Stamp, event: e.UnitEvent) -> Iterator[Finding]:
    """An entry or a signature that was recorded long after it happened."""
    if stamp.recorded - stamp.happened <= LATE_AFTER:
        return
    match event:
        case e.ReadingTaken() | e.CheckCompleted() | e.SettingChecked():
            yield Finding(Kind.LATE, _box(event), stamp, {"typed": _typed(event)})
        case e.StepSigned():
            yield Finding(Kind.LATE, (event.step, "", ""), stamp, {"meaning": event.meaning})


def _of_event(stamp: Stamp, event: e.UnitEvent, record: Record) -> Iterator[Finding]:
    match event:
        case e.ReadingTaken() | e.CheckCompleted() | e.SettingChecked():
            yield from _of_entry(stamp, event, record)
        case e.ConcessionGranted():
            flag = record.flags[event.flag]
            reason = {"reason": event.reason}
            yield Finding(Kind.CONCESSION, flag.box, stamp, reason, flag.about)
        case e.StepSkipped() | e.StepReopened() | e.SheetMoved():
            yield from _of_step(stamp, event)
        case ModelCorrected():
            models = {"was": event.was_model, "model": event.model.code, "reason": event.reason}
            yield Finding(Kind.MODEL, NOWHERE, stamp, models)
            for step in event.reopened:
                yield Finding(Kind.REOPENED, (step, "", ""), stamp, {"reason": event.reason})
        case PlateCorrected():
            plates = {"was": event.was_serial, "serial": event.serial, "reason": event.reason}
            yield Finding(Kind.PLATE, NOWHERE, stamp, plates)
        case e.Reopened():
            values = {
                "reason": event.reason,
                "titles": _titles(event.steps, record),
                "nothing_because": event.nothing_because,
            }
            yield Finding(Kind.WITHDRAWN, NOWHERE, stamp, values)
        case e.Released():
            for missing in _missing_at(stamp, record):
                yield Finding(Kind.PART, NOWHERE, stamp, missing)


def _of_step(
    stamp: Stamp, event: e.StepSkipped | e.StepReopened | e.SheetMoved
) -> Iterator[Finding]:
    match event:
        case e.StepSkipped():
            yield Finding(Kind.SKIPPED, (event.step, "", ""), stamp, {"reason": event.reason})
        case e.StepReopened():
            yield Finding(Kind.REOPENED, (event.step, "", ""), stamp, {"reason": event.reason})
        case e.SheetMoved():
            for step in event.reopened:
                revision = {"revision": event.revision}
                yield Finding(Kind.REOPENED, (step, "", ""), stamp, revision)


def _of_entry(stamp: Stamp, event: e.EntryEvent, record: Record) -> Iterator[Finding]:
    key, typed = _box(event), _typed(event)
    if event.supersedes:
        earlier = [entry for entry in record.boxes[key].entries if entry.id == event.supersedes]
        replaced = {"earlier": _typed(earlier[0].event)} if earlier else {}
        values = {**replaced, "typed": typed, "reason": event.reason}
        yield Finding(Kind.REPLACED, key, stamp, values)
    if differs := differences(event.remarks):
        yield Finding(Kind.MOMENTS, key, stamp, {"typed": typed, "differs": differs})
    if event.copied_from_paper:
        writer = event.paper.writer_name if event.paper else ""
        yield Finding(Kind.PAPER, key, stamp, {"typed": typed, "writer": writer})
    tool = event.instrument if isinstance(event, e.Judged) and event.overdue else None
    if tool:
        values = {"code": tool.code, "name": tool.name, "due": tool.due}
        yield Finding(Kind.INSTRUMENT, key, stamp, values)


def _box(event: e.EntryEvent) -> BoxKey:
    return event.step, event.line, event.position


def _typed(event: e.EntryEvent) -> str | bool:
    return event.answer if isinstance(event, e.CheckCompleted) else event.raw


def _titles(steps: Sequence[str], record: Record) -> list[str]:
    known = record.procedure.steps if record.procedure else {}
    return [known[code].title if code in known else code for code in steps]


def _missing_at(release: Stamp, record: Record) -> Iterator[dict[str, Any]]:
    """Parts that were noted as missing before a release and had not arrived by then."""
    for shortage in record.shortages.values():
        came = shortage.arrived
        if shortage.stamp.version < release.version and not (
            came and came.version < release.version
        ):
            yield {"count": shortage.event.count, "part": shortage.event.part}
