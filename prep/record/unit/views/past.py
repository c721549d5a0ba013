"""A unit at a moment, in two ways that are not the same.

"Known at" is what the record said then: the same fold stopped earlier, a prefix of the events by
when they were recorded. "Happened by" is what had happened by then, by all that is known now:
events that were recorded later count, and events that happened later are left out wherever they
stand. What then refers to something that is left out loses that reference, or goes with it where it
says nothing without; either is named.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from itertools import takewhile
from typing import Any, Final

from msgspec.structs import replace

from prep.record.procedure.document import Procedure
from prep.record.unit import events as e
from prep.record.unit.events.identity import PhotoMarked
from prep.record.unit.fold import evolve
from prep.record.unit.state import Record, Stamp

History = Iterable[tuple[Stamp, e.UnitEvent]]


class View(StrEnum):
    """Which of the two a view of the past is."""

    KNOWN_AT = "known-at"
    HAPPENED_BY = "happened-by"


class Reference(StrEnum):
    """What an event refers to that may have happened later than the event itself."""

    RECEPTION = "reception"
    SALE = "sale"
    SHEET = "sheet"
    ENTRY = "entry"
    FLAG = "flag"
    SHORTAGE = "shortage"
    PAGE = "page"
    RELEASE = "release"
    HANDOVER = "handover"
    DOCUMENT = "document"


@dataclass(frozen=True)
class LeftOut:
    """An event that refers to something left out.

    Without `whole` it counts, and the reference alone is dropped.
    """

    version: int
    kind: str
    reference: Reference
    whole: bool


@dataclass(frozen=True)
class Past:
    """A unit at a moment: which view, the record, its events, and what lost a reference."""

    view: View
    moment: datetime
    record: Record
    events: tuple[tuple[Stamp, e.UnitEvent], ...]
    left_out: tuple[LeftOut, ...] = ()


@dataclass
class _Fold:
    """A fold that leaves out events."""

    record: Record
    events: list[tuple[Stamp, e.UnitEvent]] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)

    def add(self, stamp: Stamp, event: e.UnitEvent) -> None:
        """Apply an event as far as what it refers to is there."""
        missing = _missing(self.record, event)
        if missing:
            self._name(stamp, event, missing, whole=True)
            return
        for name, reference, present in _references(self.record, event):
            if not present:
                self._name(stamp, event, reference, whole=False)
                event = _without(event, name)
        evolve(self.record, stamp, event)
        self.events.append((stamp, event))

    def _name(self, stamp: Stamp, event: e.UnitEvent, what: Reference, *, whole: bool) -> None:
        kind = str(event.__struct_config__.tag)
        self.left_out.append(LeftOut(stamp.version, kind, what, whole))


def known_at(history: History, moment: datetime, library: Mapping[str, Procedure]) -> Past:
    """What the record said at a moment: the fold of what was recorded by then."""
    record, events = Record(library), []
    for stamp, event in takewhile(lambda one: one[0].recorded <= moment, history):
        evolve(record, stamp, event)
        events.append((stamp, event))
    return Past(View.KNOWN_AT, moment, record, tuple(events))


def happened_by(history: History, moment: datetime, library: Mapping[str, Procedure]) -> Past:
    """What had happened by a moment, by all that the history knows; never raises."""
    fold = _Fold(Record(library))
    for stamp, event in history:
        if stamp.happened <= moment:
            fold.add(stamp, event)
    return Past(View.HAPPENED_BY, moment, fold.record, tuple(fold.events), tuple(fold.left_out))


VIEWS: Final[dict[View, Callable[[History, datetime, Mapping[str, Procedure]], Past]]] = {
    View.KNOWN_AT: known_at,
    View.HAPPENED_BY: happened_by,
}


def _missing(record: Record, event: e.UnitEvent) -> Reference | None:
    """What an event says nothing without, where that is not there."""
    if record.received is None and not isinstance(event, e.Received):
        return Reference.RECEPTION
    needed = _NEEDED.get(type(event))
    if needed is None:
        return None
    reference, present = needed
    return None if present(record, event) else reference


def _on_sheet(record: Record, event: Any) -> bool:
    """Whether the sheet has the step of an event, and the line and position where it names one."""
    step = record.procedure.steps.get(event.step) if record.procedure else None
    if step is None:
        return False
    line = getattr(event, "line", "")
    return not line or (line, event.position) in step.boxes


def _photographed(record: Record, event: e.PhotoAttached) -> bool:
    return event.of_paper or event.of_plate or _on_sheet(record, event)


def _has_photo(record: Record, event: PhotoMarked) -> bool:
    return any(photo.photo == event.photo for photo, _ in record.photos)


def _raised_by(record: Record, event: e.FlagRaised) -> bool:
    return not event.reading or _has_entry(record, event, event.reading)


def _has_entry(record: Record, event: Any, entry: str) -> bool:
    box = record.boxes.get((event.step, event.line, event.position))
    return box is not None and any(one.id == entry for one in box.entries)


_SHEET: Final = (Reference.SHEET, _on_sheet)
_FLAG: Final = (Reference.FLAG, lambda record, event: event.flag in record.flags)
_SALE: Final = (Reference.SALE, lambda record, event: record.buyer is not None)
_HANDOVER: Final = (Reference.HANDOVER, lambda record, event: record.handover is not None)
_NEEDED: Final[dict[type, tuple[Reference, Callable[[Record, Any], bool]]]] = {
    e.BuyerAmended: _SALE,
    e.BuyerWithdrawn: _SALE,
    e.SheetMoved: (Reference.SHEET, lambda record, event: record.sheet is not None),
    e.CautionAcknowledged: _SHEET,
    e.ReadingTaken: _SHEET,
    e.CheckCompleted: _SHEET,
    e.SettingChecked: _SHEET,
    e.PhotoAttached: (Reference.SHEET, _photographed),
    PhotoMarked: (Reference.SHEET, _has_photo),
    e.StepSkipped: _SHEET,
    e.StepReopened: _SHEET,
    e.StepSigned: _SHEET,
    e.ShortageArrived: (
        Reference.SHORTAGE,
        lambda record, event: event.shortage in record.shortages,
    ),
    e.FlagRaised: (Reference.ENTRY, _raised_by),
    e.FlagClosed: _FLAG,
    e.ConcessionGranted: _FLAG,
    e.Reopened: (Reference.RELEASE, lambda record, event: record.release is not None),
    e.RegistrationSent: _HANDOVER,
    e.RegistrationAnswered: _HANDOVER,
}


def _references(record: Record, event: e.UnitEvent) -> Iterable[tuple[str, Reference, bool]]:
    """What an event refers to and counts without: field, reference, whether it is there."""
    match event:
        case e.ReadingTaken() | e.CheckCompleted() | e.SettingChecked():
            if event.supersedes:
                there = _has_entry(record, event, event.supersedes)
                yield "supersedes", Reference.ENTRY, there
            if event.paper:
                page = event.paper.photo
                there = any(photo.photo == page for photo, _ in record.photos)
                yield "paper", Reference.PAGE, there
        case e.FlagClosed() if event.reading:
            closing = record.flags[event.flag].box
            box = record.boxes.get(closing)
            there = box is not None and any(one.id == event.reading for one in box.entries)
            yield "reading", Reference.ENTRY, there
        case e.DocumentIssued() if event.replaces:
            there = any(one.document == event.replaces for one, _ in record.documents)
            yield "replaces", Reference.DOCUMENT, there


def _without(event: Any, name: str) -> Any:
    """An event without a reference; an entry copied from a page keeps who wrote that."""
    if name == "paper":
        return replace(event, paper=replace(event.paper, photo=""))
    return replace(event, **{name: ""})
