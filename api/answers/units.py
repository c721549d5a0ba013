"""A unit as the API shows it, without its sheet."""

from uuid import UUID

import msgspec

from api.answers.entries import ShownFlag, Signed, shown_flag, signed
from api.answers.outcomes import ShownReadiness, shown_readiness
from api.answers.past import ShownPast
from prep.record.facts import Damage
from prep.record.unit.commands.registrations import State, registration
from prep.record.unit.events import DocumentIssued, HandedOver, ShortageNoted
from prep.record.unit.readiness import readiness
from prep.record.unit.state import Record
from prep.record.unit.views.unit_state import UnitState, state_of
from prep.words.reader import Reader
from prep.words.unit.handovers import first_use, topics
from prep.words.unit.signatures import ended_because
from prep.words.unit.states import ShownState, Tone, state_in_record


class StateWords(msgspec.Struct, frozen=True, kw_only=True):
    """A unit's state for people, with what is to be told of its sale and readiness.

    `tone` is the color it is shown in: `yes` ready for its buyer or gone, `half` ready for stock
    only, `no` not ready.
    """

    word: str
    mark: str
    tone: Tone


class ShownDamage(msgspec.Struct, frozen=True, kw_only=True):
    """Damage, with who noted it and when."""

    damage: Damage
    noted: Signed


class ShownShortage(msgspec.Struct, frozen=True, kw_only=True):
    """A missing part, and its arrival if it came."""

    shortage: ShortageNoted
    noted: Signed
    arrived: Signed | None
    arrival_note: str


class ShownRelease(msgspec.Struct, frozen=True, kw_only=True):
    """A release; `withdrawn` is set where it no longer stands.

    `nothing_because` is why no work was to be done again after it was withdrawn.
    """

    release: str
    ready_for: str
    content: str
    buyer: str
    tractor: str
    signed: Signed
    withdrawn: Signed | None
    reason: str
    nothing_because: str


class ShownHandover(msgspec.Struct, frozen=True, kw_only=True):
    """The handover, with a digest of the recipient, whose data is kept outside the log.

    `handover` has the tokens of the log, `walk_through` and `first_use` the words for them.
    """

    handover: HandedOver
    walk_through: list[str]
    first_use: str
    signed: Signed


class ShownRegistration(msgspec.Struct, frozen=True, kw_only=True):
    """State of the warranty registration by the record alone, independent of today's date.

    A state of “due” after the day `due` means late; lists of units say “overdue”.
    """

    state: State
    due: str
    version: int
    reason: str


class ShownDocument(msgspec.Struct, frozen=True, kw_only=True):
    """An issued document, with its digest in the log."""

    document: DocumentIssued
    issued: Signed


class ShownHold(msgspec.Struct, frozen=True, kw_only=True):
    """A hold: why and by whom the unit is stopped."""

    reason: str
    held: Signed


class ShownCorrection(msgspec.Struct, frozen=True, kw_only=True):
    """What the plate had been read as before it was corrected, and why it was."""

    maker: str
    serial: str
    reason: str
    corrected: Signed


class ShownUnit(msgspec.Struct, frozen=True, kw_only=True):
    """All that is known of a unit, except its sheet; `as_of` is null for the present."""

    id: UUID
    site: str
    version: int
    state: UnitState
    state_words: StateWords
    maker: str
    serial: str
    plate: str
    papers: str
    formerly: list[ShownCorrection]
    joined: list[str]
    joined_into: str
    look_alikes: tuple[str, ...]
    place: str
    note: str
    model: str
    model_name: str
    model_revision: int
    options: tuple[str, ...]
    buyer: str
    tractor: str
    procedure: str
    revision: int
    received: Signed | None
    hold: ShownHold | None
    readiness: ShownReadiness
    damage: list[ShownDamage]
    shortages: list[ShownShortage]
    flags: list[ShownFlag]
    releases: list[ShownRelease]
    handover: ShownHandover | None
    registration: ShownRegistration
    documents: list[ShownDocument]
    as_of: ShownPast | None


def shown_unit(
    unit: UUID, site: str, record: Record, reader: Reader, past: ShownPast | None = None
) -> ShownUnit:
    """A unit from its record. It changes only with the record, so that its ETag is strong."""
    answer = readiness(record)
    model, sheet = record.model, record.sheet
    return ShownUnit(
        id=unit,
        site=site,
        version=record.version,
        state=state_of(record, answer),
        state_words=state_words(state_in_record(record, answer, reader)),
        maker=record.maker,
        serial=record.serial,
        plate=record.plate,
        papers=record.papers,
        joined=[event.unit for event, _ in record.joined],
        joined_into=record.joined_into[0].unit if record.joined_into else "",
        formerly=[
            ShownCorrection(
                maker=event.was_maker,
                serial=event.was_serial,
                reason=event.reason,
                corrected=signed(stamp),
            )
            for event, stamp in record.corrections
        ],
        look_alikes=record.look_alikes,
        place=record.place,
        note=record.note,
        model=model.code if model else "",
        model_name=model.name if model else "",
        model_revision=model.revision if model else 0,
        options=record.options,
        buyer=record.buyer.id if record.buyer else "",
        tractor=record.tractor.code if record.tractor else "",
        procedure=sheet.procedure if sheet else "",
        revision=sheet.revision if sheet else 0,
        received=signed(record.received) if record.received else None,
        hold=ShownHold(reason=record.held[0], held=signed(record.held[1])) if record.held else None,
        readiness=shown_readiness(answer, reader),
        damage=[ShownDamage(damage=d, noted=signed(stamp)) for d, stamp in record.damage],
        shortages=_shortages(record),
        flags=[shown_flag(flag, reader) for flag in record.flags.values()],
        releases=_releases(record, reader),
        handover=_handover(record, reader),
        registration=_registration(record),
        documents=[ShownDocument(document=d, issued=signed(s)) for d, s in record.documents],
        as_of=past,
    )


def state_words(shown: ShownState) -> StateWords:
    """A state's words as the API shows them."""
    return StateWords(word=shown.word, mark=shown.mark, tone=shown.tone)


def _shortages(record: Record) -> list[ShownShortage]:
    return [
        ShownShortage(
            shortage=shortage.event,
            noted=signed(shortage.stamp),
            arrived=signed(shortage.arrived) if shortage.arrived else None,
            arrival_note=shortage.arrival_note,
        )
        for shortage in record.shortages.values()
    ]


def _releases(record: Record, reader: Reader) -> list[ShownRelease]:
    return [
        ShownRelease(
            release=release.event.release,
            ready_for=release.event.ready_for,
            content=release.event.content,
            buyer=release.event.buyer,
            tractor=release.event.tractor,
            signed=signed(release.stamp),
            withdrawn=signed(release.withdrawn) if release.withdrawn else None,
            reason=ended_because(release, reader),
            nothing_because=release.nothing_because,
        )
        for release in record.releases
    ]


def _handover(record: Record, reader: Reader) -> ShownHandover | None:
    if record.handover is None:
        return None
    event, stamp = record.handover
    return ShownHandover(
        handover=event,
        walk_through=list(topics(event.shown, reader)),
        first_use=first_use(event.first_use, reader),
        signed=signed(stamp),
    )


def _registration(record: Record) -> ShownRegistration:
    """The registration on the day of the handover, so that the answer does not depend on today."""
    day = record.handover[1].happened.date() if record.handover else None
    if day is None:
        return ShownRegistration(state="not-due", due="", version=0, reason="")
    now = registration(record, day)
    return ShownRegistration(state=now.state, due=now.due, version=now.version, reason=now.reason)
