"""Events of a unit's stream.

A body is a tagged struct, and its canonical JSON is hashed into the log. It holds tokens, numbers
and what people typed, never a sentence of ours: `prep.words` has those. Measured numbers are
decimal strings. Kinds are never renamed and fields never change meaning; a field may be added with
a default.
"""

import msgspec

from prep.record.facts import (
    BuyerRef,
    Damage,
    ModelFacts,
    TractorFacts,
    Wording,
)
from prep.record.phrases import KeptPhrase
from prep.record.unit.events.base import Event
from prep.record.unit.events.entries import (
    CheckCompleted,
    EntryEvent,
    Judged,
    ReadingTaken,
    SettingChecked,
    entry_id,
)
from prep.record.unit.events.erasure import ErasureEvent
from prep.record.unit.events.identity import IdentityEvent
from prep.record.unit.events.identity import PhotoAttached as PhotoAttached

# Of what is imported here, the names that others use as `e.…`.
__all__ = [
    "CheckCompleted",
    "EntryEvent",
    "Event",
    "Judged",
    "ReadingTaken",
    "SettingChecked",
    "entry_id",
]

SCHEMA = 1


class Received(Event, frozen=True, tag="unit.received"):
    """The unit was received. `serial` is exactly as on the plate.

    `maker` is the manufacturer's name as plates print it, `manufacturer` its id in the register.
    `first_of_shipment` says that no other unit of the model came to the yard before on that day.
    """

    maker: str
    manufacturer: str
    serial: str
    plate: str
    papers: str
    model: ModelFacts | None
    options: tuple[str, ...]
    damage: tuple[Damage, ...]
    look_alikes: tuple[str, ...]
    place: str
    note: str
    first_of_shipment: bool = True


class DamageNoted(Event, frozen=True, tag="unit.damage_noted"):
    """Damage found after receiving (concealed damage)."""

    damage: Damage


class Placed(Event, frozen=True, tag="unit.placed"):
    """The unit's location in the yard was set."""

    place: str


class ModelAssigned(Event, frozen=True, tag="unit.model_assigned"):
    """The unit's model and options were set."""

    model: ModelFacts
    options: tuple[str, ...]


class BuyerAssigned(Event, frozen=True, tag="unit.buyer_assigned"):
    """The unit was sold to a buyer with this tractor. `reopened` lists the steps to do again."""

    buyer: BuyerRef
    tractor: TractorFacts
    reopened: tuple[str, ...]


class BuyerAmended(Event, frozen=True, tag="unit.buyer_amended"):
    """The buyer's details were corrected; `buyer` refers to the corrected ones."""

    buyer: BuyerRef


class BuyerWithdrawn(Event, frozen=True, tag="unit.buyer_withdrawn"):
    """The sale was canceled; the unit is stock again."""

    reason: str
    reopened: tuple[str, ...]


class SheetStarted(Event, frozen=True, tag="sheet.started"):
    """Preparation started on one revision of a procedure, pinned by digest."""

    procedure: str
    revision: int
    digest: str


class SheetMoved(Event, frozen=True, tag="sheet.moved"):
    """The sheet moved to a newer revision; the steps that changed re-open."""

    procedure: str
    revision: int
    digest: str
    reason: str
    reopened: tuple[str, ...]


class CautionAcknowledged(Event, frozen=True, tag="caution.acknowledged"):
    """A person read the cautions of a step before working on it."""

    step: str
    cautions: tuple[str, ...]
    digest: str
    wording: Wording


class StepSkipped(Event, frozen=True, tag="step.not_applicable"):
    """A step was marked not applicable."""

    step: str
    reason: str


class StepReopened(Event, frozen=True, tag="step.reopened"):
    """A step was re-opened; its sign-offs no longer count."""

    step: str
    reason: str


class ShortageNoted(Event, frozen=True, tag="shortage.noted"):
    """A part was noted as missing. `lent_to` names the unit it was taken for."""

    shortage: str
    part: str
    count: int
    stops_release: bool
    expected: str = ""
    lent_to: str = ""


class ShortageArrived(Event, frozen=True, tag="shortage.arrived"):
    """A missing part arrived."""

    shortage: str
    note: str


class FlagRaised(Event, frozen=True, tag="flag.raised"):
    """A nonconformity was flagged, by what `origin` says.

    `text` is what a person typed. `reading` is the id of the entry that raised it, `damage` the
    damage, `phrase` what the rule found that reads serial numbers; each is empty for other origins.
    """

    flag: str
    origin: str
    text: str = ""
    step: str = ""
    line: str = ""
    position: str = ""
    reading: str = ""
    damage: Damage | None = None
    phrase: KeptPhrase | None = None


class FlagClosed(Event, frozen=True, tag="flag.closed"):
    """A flag was closed: fixed, in the words of `text`, or by the entry `reading`.

    `how` is `fixed`, `conforming-entry`, `superseded`, `plate-corrected` or
    `model-corrected`.
    """

    flag: str
    how: str
    reading: str = ""
    text: str = ""


class ConcessionGranted(Event, frozen=True, tag="concession.granted"):
    """A named authority released a nonconforming item with a reason (ISO 9000)."""

    concession: str
    flag: str
    reason: str
    wording: Wording


class StepSigned(Event, frozen=True, tag="step.signed"):
    """A person signed a step; `content` is the digest of what was shown and signed."""

    step: str
    meaning: str
    content: str
    wording: Wording


class Held(Event, frozen=True, tag="unit.held"):
    """The unit was put on hold."""

    reason: str


class Resumed(Event, frozen=True, tag="unit.resumed"):
    """The unit was taken off hold."""

    note: str


class Released(Event, frozen=True, tag="unit.released"):
    """The service manager released the unit, for stock or for its buyer."""

    release: str
    ready_for: str
    content: str
    wording: Wording
    buyer: str = ""
    tractor: str = ""


class Reopened(Event, frozen=True, tag="unit.reopened"):
    """A release was withdrawn; the steps named are to be done again.

    Without any, `nothing_because` is why no work is to be done again.
    """

    reason: str
    steps: tuple[str, ...]
    nothing_because: str = ""


class HandedOver(Event, frozen=True, tag="unit.handed_over"):
    """The unit was handed over: walk-through covered, its language, and who received the unit.

    `shown` holds tokens of topics, and further topics as typed; `first_use` is a token.
    """

    handover: str
    recipient_digest: str
    relation: str
    language: str
    shown: tuple[str, ...]
    manual_given: bool
    hour_meter: str
    place: str
    wording: Wording
    first_use: str = "own"
    registration_due: str = ""


class RegistrationSent(Event, frozen=True, tag="registration.sent"):
    """A warranty registration was sent to the manufacturer; each resend is a new version."""

    version: int
    document: str
    note: str = ""


class RegistrationAnswered(Event, frozen=True, tag="registration.answered"):
    """The manufacturer accepted the registration, or refused it with a reason."""

    version: int
    accepted: bool
    reason: str = ""


class DocumentIssued(Event, frozen=True, tag="document.issued"):
    """A document was issued; `digest` is its file's. `replaces` names the document it corrects.

    `instead` is what befell that one's file, if it stands in; `bag` is a tag manifest's SHA-256.
    """

    document: str
    document_kind: str
    number: str
    digest: str
    bytes: int
    cause: str
    replaces: str = ""
    instead: str = ""
    bag: str = ""


class DocumentRemade(Event, frozen=True, tag="document.remade"):
    """The lost or damaged file of a document was made again with the same bytes."""

    document: str
    number: str
    digest: str
    found: str


UnitEvent = (
    Received
    | IdentityEvent
    | DamageNoted
    | Placed
    | ModelAssigned
    | BuyerAssigned
    | BuyerAmended
    | BuyerWithdrawn
    | SheetStarted
    | SheetMoved
    | CautionAcknowledged
    | ReadingTaken
    | CheckCompleted
    | SettingChecked
    | PhotoAttached
    | StepSkipped
    | StepReopened
    | ShortageNoted
    | ShortageArrived
    | FlagRaised
    | FlagClosed
    | ConcessionGranted
    | StepSigned
    | Held
    | Resumed
    | Released
    | Reopened
    | HandedOver
    | RegistrationSent
    | RegistrationAnswered
    | DocumentIssued
    | DocumentRemade
    | ErasureEvent
)

_decoder: msgspec.json.Decoder[UnitEvent] = msgspec.json.Decoder(UnitEvent)


def decode(body: str | bytes) -> UnitEvent:
    """Event from its JSON text. Raises msgspec.ValidationError on a body no kind fits."""
    return _decoder.decode(body)
