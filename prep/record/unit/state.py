"""The state of one unit: everything known of it, as `prep.record.unit.fold` builds it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import NamedTuple

from prep.record.facts import BuyerRef, Damage, ModelFacts, TractorFacts
from prep.record.procedure.document import Procedure
from prep.record.unit import events as e
from prep.record.unit.events.identity import JoinedInto, PlateCorrected, RecordJoined
from prep.record.unit.flag_facts import Closing, FlagFacts

PREPARED = "prepared"
SECOND_PERSON = "second-person"
RELEASED = "released"
HANDED_OVER = "handed-over"

BoxKey = tuple[str, str, str]


class Named(NamedTuple):
    """Whom a device named as the author: id and printed name."""

    id: str
    name: str


class Stamp(NamedTuple):
    """Who did it, when by the device, when by the server, and the event's version in the stream.

    `named` is whom the device named as the author, where the actor only sent it.
    """

    actor: str
    name: str
    happened: datetime
    recorded: datetime
    version: int
    named: Named | None = None


@dataclass(slots=True)
class Entry:
    """One answer in a box, with its id and who gave it when.

    `owned` says that whoever a device named as its author has signed the step since: then it is
    theirs.
    """

    id: str
    event: e.EntryEvent
    stamp: Stamp
    owned: bool = False


@dataclass(slots=True)
class Box:
    """One box of a line: all its answers, oldest first.

    The last one is current; `stale` after the step was re-opened.
    """

    entries: list[Entry] = field(default_factory=list)
    stale: bool = False

    @property
    def current(self) -> Entry | None:
        """The current answer; None without one, or where the step was re-opened since."""
        return self.entries[-1] if self.entries and not self.stale else None


@dataclass(slots=True)
class Signature:
    """A sign-off: who signed what meaning, when, over the content with this digest."""

    meaning: str
    content: str
    stamp: Stamp


class Cause(StrEnum):
    """What re-opened a step, or ended a release."""

    PERSON = "person"
    TRACTOR_CHANGED = "tractor-changed"
    MODEL_CORRECTED = "model-corrected"
    SALE_CANCELED = "sale-canceled"
    REVISION_CHANGED = "revision-changed"
    RELEASE_WITHDRAWN = "release-withdrawn"
    JOINED = "joined"
    RELEASED_AGAIN = "released-again"


class Reopening(NamedTuple):
    """Why a step was re-opened, and by whom; `reason` is what they typed."""

    cause: Cause
    reason: str
    stamp: Stamp


@dataclass(slots=True)
class StepState:
    """State of a step. `skipped` is the reason it was marked not applicable, or empty."""

    skipped: str = ""
    acknowledged: set[str] = field(default_factory=set)
    signatures: dict[str, Signature] = field(default_factory=dict)
    past_signatures: list[Signature] = field(default_factory=list)
    reopened: list[Reopening] = field(default_factory=list)


@dataclass(slots=True)
class Concession:
    """Why a nonconforming item was released, and by whose authority."""

    id: str
    reason: str
    stamp: Stamp


@dataclass(slots=True)
class Flag:
    """A nonconformity, with its closing or concession.

    `about` has what its words need. `closed_by` is the id of the entry that closed it,
    `closing_text` how it was fixed, as typed.
    """

    id: str
    about: FlagFacts
    box: BoxKey
    reading: str
    stamp: Stamp
    closed: Stamp | None = None
    closed_by: str = ""
    closed_how: Closing | None = None
    closing_text: str = ""
    concession: Concession | None = None

    @property
    def open(self) -> bool:
        """Whether it still blocks release."""
        return self.closed is None


@dataclass(slots=True)
class Shortage:
    """A missing part, and its arrival."""

    event: e.ShortageNoted
    stamp: Stamp
    arrived: Stamp | None = None
    arrival_note: str = ""


@dataclass(slots=True)
class Release:
    """A release and, if it ended, when, by what, and the reason that was typed.

    `nothing_because` is why no work was to be done again after it was withdrawn.
    """

    event: e.Released
    stamp: Stamp
    withdrawn: Stamp | None = None
    cause: Cause | None = None
    reason: str = ""
    nothing_because: str = ""


@dataclass(slots=True)
class Record:
    """Everything known of one unit. Only `evolve` changes it.

    `library` gives a procedure by its digest.
    """

    library: Mapping[str, Procedure]
    version: int = 0
    recorded: datetime | None = None
    maker: str = ""
    manufacturer: str = ""
    serial: str = ""
    plate: str = ""
    papers: str = ""
    place: str = ""
    note: str = ""
    corrections: list[tuple[PlateCorrected, Stamp]] = field(default_factory=list)
    joined: list[tuple[RecordJoined, Stamp]] = field(default_factory=list)
    joined_into: tuple[JoinedInto, Stamp] | None = None
    received: Stamp | None = None
    model: ModelFacts | None = None
    options: tuple[str, ...] = ()
    damage: list[tuple[Damage, Stamp]] = field(default_factory=list)
    look_alikes: tuple[str, ...] = ()
    first_of_shipment: bool = True
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
    recipient_erased: bool = False
    erased_photos: set[str] = field(default_factory=set)
    erased_documents: dict[str, Stamp] = field(default_factory=dict)

    @property
    def release(self) -> Release | None:
        """The release in force, if any."""
        if self.releases and self.releases[-1].withdrawn is None:
            return self.releases[-1]
        return None

    @property
    def release_to_renew(self) -> Release | None:
        """The release withdrawn last, where only a new one is missing and no work."""
        last = self.releases[-1] if self.releases else None
        return last if last and last.withdrawn and last.nothing_because else None

    @property
    def former_serials(self) -> tuple[str, ...]:
        """Serials that the plate was taken for, here and in records joined to this, each once."""
        read = [corrected.was_serial for corrected, _ in self.corrections]
        read += [joined.serial for joined, _ in self.joined]
        return tuple(one for one in dict.fromkeys(read) if one != self.serial)

    def step_state(self, step: str) -> StepState:
        """State of a step, made on first use."""
        return self.steps.setdefault(step, StepState())

    def box(self, key: BoxKey) -> Box:
        """A box, made on first use."""
        return self.boxes.setdefault(key, Box())

    def open_flags(self) -> list[Flag]:
        """Flags that block release, oldest first."""
        return [flag for flag in self.flags.values() if flag.open]
