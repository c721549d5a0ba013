"""The record: everything known of one unit, folded from its events.

`fold` is the only way a record comes to be, so the record of any moment is the same fold stopped
earlier. Nothing here decides anything: an event that was appended is a fact.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple

from prep.record.facts import BuyerRef, ModelFacts, TractorFacts
from prep.record.procedure.document import Procedure
from prep.record.unit import events as e

PREPARED = "prepared"
SECOND_PERSON = "second person checked"

BoxKey = tuple[str, str, str]


class Stamp(NamedTuple):
    """Who, when on the device, when on the server, and the place in the stream."""

    actor: str
    name: str
    happened: datetime
    recorded: datetime
    version: int


@dataclass(slots=True)
class Entry:
    """One answer in a box, with who gave it."""

    id: str
    event: e.ReadingTaken | e.CheckCompleted
    stamp: Stamp


@dataclass(slots=True)
class Box:
    """One box of a line: every answer it ever had, the last one current unless stale."""

    entries: list[Entry] = field(default_factory=list)
    stale: bool = False

    @property
    def current(self) -> Entry | None:
        """The answer that stands, if the step was not re-opened since."""
        return self.entries[-1] if self.entries and not self.stale else None


@dataclass(slots=True)
class Signature:
    """A sign-off: person, moment and meaning over the content with this digest."""

    meaning: str
    content: str
    stamp: Stamp


@dataclass(slots=True)
class StepState:
    """What happened to a step so far."""

    skipped: str = ""
    acknowledged: set[str] = field(default_factory=set)
    signatures: dict[str, Signature] = field(default_factory=dict)
    past_signatures: list[Signature] = field(default_factory=list)
    reopened: list[tuple[str, Stamp]] = field(default_factory=list)


@dataclass(slots=True)
class Concession:
    """Why a nonconforming item was released, and by whose authority."""

    id: str
    reason: str
    stamp: Stamp


@dataclass(slots=True)
class Flag:
    """A nonconformity and what became of it."""

    id: str
    origin: str
    text: str
    box: BoxKey
    reading: str
    stamp: Stamp
    closed: Stamp | None = None
    closed_by: str = ""
    closing_text: str = ""
    concession: Concession | None = None

    @property
    def open(self) -> bool:
        """Whether it still blocks release."""
        return self.closed is None


@dataclass(slots=True)
class Shortage:
    """A missing part."""

    event: e.ShortageNoted
    stamp: Stamp
    arrived: Stamp | None = None
    arrival_note: str = ""


@dataclass(slots=True)
class Release:
    """A release and, if it was withdrawn, when and why."""

    event: e.Released
    stamp: Stamp
    withdrawn: Stamp | None = None
    reason: str = ""


@dataclass(slots=True)
class Record:
    """Everything known of one unit. Only `evolve` changes it."""

    library: Mapping[str, Procedure]
    version: int = 0
    recorded: datetime | None = None
    maker: str = ""
    serial: str = ""
    plate: str = ""
    papers: str = ""
    place: str = ""
    note: str = ""
    received: Stamp | None = None
    model: ModelFacts | None = None
    options: tuple[str, ...] = ()
    damage: list[tuple[e.Damage, Stamp]] = field(default_factory=list)
    look_alikes: tuple[str, ...] = ()
    buyer: BuyerRef | None = None
    tractor: TractorFacts | None = None
    procedure: Procedure | None = None
    sheet: e.SheetStarted | e.SheetMoved | None = None
    sheet_started: Stamp | None = None
    steps: dict[str, StepState] = field(default_factory=dict)
    boxes: dict[BoxKey, Box] = field(default_factory=dict)
    flags: dict[str, Flag] = field(default_factory=dict)
    open_flag_at: dict[BoxKey, str] = field(default_factory=dict)
    shortages: dict[str, Shortage] = field(default_factory=dict)
    photos: list[tuple[e.PhotoAttached, Stamp]] = field(default_factory=list)
    held: tuple[str, Stamp] | None = None
    releases: list[Release] = field(default_factory=list)
    handover: tuple[e.HandedOver, Stamp] | None = None
    registration: list[tuple[e.RegistrationSent | e.RegistrationAnswered, Stamp]] = field(
        default_factory=list
    )
    documents: list[tuple[e.DocumentIssued, Stamp]] = field(default_factory=list)

    @property
    def release(self) -> Release | None:
        """The release that stands, if any."""
        if self.releases and self.releases[-1].withdrawn is None:
            return self.releases[-1]
        return None

    def step_state(self, step: str) -> StepState:
        """State of a step, made on first use."""
        return self.steps.setdefault(step, StepState())

    def box(self, key: BoxKey) -> Box:
        """A box, made on first use."""
        return self.boxes.setdefault(key, Box())

    def open_flags(self) -> list[Flag]:
        """Flags that block release, oldest first."""
        return [flag for flag in self.flags.values() if flag.open]


def fold(history: Iterable[tuple[Stamp, e.UnitEvent]], library: Mapping[str, Procedure]) -> Record:
    """The record after a history. `library` gives a procedure by its digest."""
    record = Record(library)
    for stamp, event in history:
        evolve(record, stamp, event)
    return record


def evolve(record: Record, stamp: Stamp, event: e.UnitEvent) -> None:
    """Take one event into the record."""
    _STEP[type(event)](record, stamp, event)
    record.version = stamp.version
    record.recorded = stamp.recorded


def _received(r: Record, s: Stamp, x: e.Received) -> None:
    r.received = s
    r.maker, r.serial, r.plate, r.papers = x.maker, x.serial, x.plate, x.papers
    r.model, r.options, r.place, r.note = x.model, x.options, x.place, x.note
    r.look_alikes = x.look_alikes
    r.damage += [(damage, s) for damage in x.damage]


def _damage_noted(r: Record, s: Stamp, x: e.DamageNoted) -> None:
    r.damage.append((x.damage, s))


def _placed(r: Record, s: Stamp, x: e.Placed) -> None:
    r.place = x.place


def _model_assigned(r: Record, s: Stamp, x: e.ModelAssigned) -> None:
    r.model, r.options = x.model, x.options


def _reopen(r: Record, s: Stamp, steps: Iterable[str], reason: str) -> None:
    reopened = set(steps)
    for code in reopened:
        state = r.step_state(code)
        state.past_signatures += state.signatures.values()
        state.signatures = {}
        state.skipped = ""
        state.acknowledged = set()
        state.reopened.append((reason, s))
    for key, box in r.boxes.items():
        if key[0] in reopened:
            box.stale = bool(box.entries)


def _buyer_assigned(r: Record, s: Stamp, x: e.BuyerAssigned) -> None:
    r.buyer, r.tractor = x.buyer, x.tractor
    _reopen(r, s, x.reopened, "the buyer's tractor changed")


def _buyer_amended(r: Record, s: Stamp, x: e.BuyerAmended) -> None:
    r.buyer = x.buyer


def _buyer_withdrawn(r: Record, s: Stamp, x: e.BuyerWithdrawn) -> None:
    r.buyer = r.tractor = None
    _reopen(r, s, x.reopened, "the buyer withdrew")


def _sheet_started(r: Record, s: Stamp, x: e.SheetStarted) -> None:
    r.sheet, r.sheet_started, r.procedure = x, s, r.library[x.digest]


def _sheet_moved(r: Record, s: Stamp, x: e.SheetMoved) -> None:
    r.sheet, r.procedure = x, r.library[x.digest]
    _reopen(r, s, x.reopened, x.reason)


def _caution_acknowledged(r: Record, s: Stamp, x: e.CautionAcknowledged) -> None:
    r.step_state(x.step).acknowledged.add(s.actor)


def _answered(r: Record, s: Stamp, x: e.ReadingTaken | e.CheckCompleted) -> None:
    box = r.box((x.step, x.line, x.position))
    box.entries.append(Entry(x.reading if isinstance(x, e.ReadingTaken) else x.check, x, s))
    box.stale = False


def _photo_attached(r: Record, s: Stamp, x: e.PhotoAttached) -> None:
    r.photos.append((x, s))


def _step_skipped(r: Record, s: Stamp, x: e.StepSkipped) -> None:
    r.step_state(x.step).skipped = x.reason


def _step_reopened(r: Record, s: Stamp, x: e.StepReopened) -> None:
    _reopen(r, s, (x.step,), x.reason)


def _shortage_noted(r: Record, s: Stamp, x: e.ShortageNoted) -> None:
    r.shortages[x.shortage] = Shortage(x, s)


def _shortage_arrived(r: Record, s: Stamp, x: e.ShortageArrived) -> None:
    r.shortages[x.shortage].arrived = s
    r.shortages[x.shortage].arrival_note = x.note


def _flag_raised(r: Record, s: Stamp, x: e.FlagRaised) -> None:
    box = (x.step, x.line, x.position)
    r.flags[x.flag] = Flag(x.flag, x.origin, x.text, box, x.reading, s)
    if x.line:
        r.open_flag_at[box] = x.flag


def _close(r: Record, s: Stamp, flag_id: str) -> Flag:
    flag = r.flags[flag_id]
    flag.closed = s
    r.open_flag_at.pop(flag.box, None)
    return flag


def _flag_closed(r: Record, s: Stamp, x: e.FlagClosed) -> None:
    flag = _close(r, s, x.flag)
    flag.closed_by, flag.closing_text = x.reading, x.text


def _concession_granted(r: Record, s: Stamp, x: e.ConcessionGranted) -> None:
    _close(r, s, x.flag).concession = Concession(x.concession, x.reason, s)


def _step_signed(r: Record, s: Stamp, x: e.StepSigned) -> None:
    r.step_state(x.step).signatures[x.meaning] = Signature(x.meaning, x.content, s)


def _held(r: Record, s: Stamp, x: e.Held) -> None:
    r.held = (x.reason, s)


def _resumed(r: Record, s: Stamp, x: e.Resumed) -> None:
    r.held = None


def _withdraw_release(r: Record, s: Stamp, reason: str) -> None:
    if r.release:
        r.release.reason = reason
        r.releases[-1].withdrawn = s


def _released(r: Record, s: Stamp, x: e.Released) -> None:
    _withdraw_release(r, s, "replaced by a later release")
    r.releases.append(Release(x, s))


def _unit_reopened(r: Record, s: Stamp, x: e.Reopened) -> None:
    _withdraw_release(r, s, x.reason)
    _reopen(r, s, x.steps, x.reason)


def _handed_over(r: Record, s: Stamp, x: e.HandedOver) -> None:
    r.handover = (x, s)


def _registration(r: Record, s: Stamp, x: e.RegistrationSent | e.RegistrationAnswered) -> None:
    r.registration.append((x, s))


def _document_issued(r: Record, s: Stamp, x: e.DocumentIssued) -> None:
    r.documents.append((x, s))


_STEP: dict[type, Callable[[Record, Stamp, Any], None]] = {
    e.Received: _received,
    e.DamageNoted: _damage_noted,
    e.Placed: _placed,
    e.ModelAssigned: _model_assigned,
    e.BuyerAssigned: _buyer_assigned,
    e.BuyerAmended: _buyer_amended,
    e.BuyerWithdrawn: _buyer_withdrawn,
    e.SheetStarted: _sheet_started,
    e.SheetMoved: _sheet_moved,
    e.CautionAcknowledged: _caution_acknowledged,
    e.ReadingTaken: _answered,
    e.CheckCompleted: _answered,
    e.PhotoAttached: _photo_attached,
    e.StepSkipped: _step_skipped,
    e.StepReopened: _step_reopened,
    e.ShortageNoted: _shortage_noted,
    e.ShortageArrived: _shortage_arrived,
    e.FlagRaised: _flag_raised,
    e.FlagClosed: _flag_closed,
    e.ConcessionGranted: _concession_granted,
    e.StepSigned: _step_signed,
    e.Held: _held,
    e.Resumed: _resumed,
    e.Released: _released,
    e.Reopened: _unit_reopened,
    e.HandedOver: _handed_over,
    e.RegistrationSent: _registration,
    e.RegistrationAnswered: _registration,
    e.DocumentIssued: _document_issued,
}
