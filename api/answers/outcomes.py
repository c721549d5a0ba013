"""The outcome of a command, as the API shows it."""

from datetime import datetime
from uuid import UUID

import msgspec
from msgspec.structs import asdict

from api.answers.entries import ShownAdvice, ShownEntry, advice_on, shown_entry
from prep.actions.people import Opened
from prep.actions.submission import Outcome
from prep.queries.units import KeptReadiness
from prep.record.reference_events import AnyReferenceEvent
from prep.record.unit.events import EntryEvent, UnitEvent
from prep.record.unit.readiness import Answer, Readiness, answer_of, readiness
from prep.record.unit.sheet import Status, content_digest, statuses
from prep.words.reader import Reader
from prep.words.readiness import shown_reasons


class ShownReadiness(msgspec.Struct, frozen=True, kw_only=True):
    """Readiness of a unit, with every reason against it and where to go."""

    answer: Answer
    ready_for_stock: bool
    ready_for_buyer: bool
    reasons: list[dict[str, str]]


class StepNow(msgspec.Struct, frozen=True, kw_only=True):
    """State of the command's step afterward; a sign-off of the step names `seen`."""

    step: str
    status: Status
    seen: str


class RecordedOnUnit(msgspec.Struct, frozen=True, kw_only=True):
    """What a command recorded of a unit.

    `events` are the facts added to the record, in order. `entry` and `advice` are given for a
    reading or check, `step` for a command on a step. `repeated` says that the command had been
    carried out before; everything is then as it was at that time.
    """

    unit: UUID
    version: int
    repeated: bool
    events: list[UnitEvent]
    entry: ShownEntry | None
    advice: ShownAdvice | None
    step: StepNow | None


class Recorded(RecordedOnUnit, frozen=True, kw_only=True):
    """What a command recorded of a unit, and whether the unit is ready afterward."""

    readiness: ShownReadiness


def shown_outcome(outcome: Outcome, reader: Reader) -> Recorded:
    """An outcome as the API shows it, taken from the record without a query."""
    shown = shown_readiness(readiness(outcome.record), reader)
    return Recorded(**asdict(shown_on_unit(outcome, reader)), readiness=shown)


def shown_on_unit(outcome: Outcome, reader: Reader) -> RecordedOnUnit:
    """The same without readiness, for the answer to a batch: one for each of 500 would be long."""
    entry, advice = _entry(outcome, reader)
    return RecordedOnUnit(
        unit=outcome.unit,
        version=outcome.version,
        repeated=outcome.repeated,
        events=list(outcome.events),
        entry=entry,
        advice=advice,
        step=_step(outcome),
    )


class RecordedReference(msgspec.Struct, frozen=True, kw_only=True):
    """What a command recorded of a site, person, buyer, instrument, model or procedure.

    `id` is what it is known by. `repeated` says that the command had been carried out before.
    """

    id: str
    version: int
    repeated: bool
    events: list[AnyReferenceEvent]


def shown_reference(outcome: Outcome) -> RecordedReference:
    """An outcome of a command on anything but a unit."""
    return RecordedReference(
        id=outcome.target,
        version=outcome.version,
        repeated=outcome.repeated,
        events=list(outcome.events),
    )


class RecordedInvitation(RecordedReference, frozen=True, kw_only=True):
    """What a command recorded, and the link and the code that it made.

    Give them to `person` alone; either opens the account, once, until `expires`. They are shown to
    whoever sends this command with its Idempotency-Key, and nowhere else.
    """

    person: str
    link: str
    code: str
    expires: datetime


def shown_invitation(outcome: Outcome, opened: Opened) -> RecordedInvitation:
    """An outcome with the link and the code that were made."""
    return RecordedInvitation(
        **asdict(shown_reference(outcome)),
        person=str(opened.person.pk),
        link=opened.opener.link,
        code=opened.opener.code,
        expires=opened.opener.expires,
    )


def shown_readiness(answer: Readiness, reader: Reader) -> ShownReadiness:
    """Readiness as the API shows it."""
    return ShownReadiness(
        answer=answer.answer,
        ready_for_stock=answer.ready_for_stock,
        ready_for_buyer=answer.ready_for_buyer,
        reasons=shown_reasons(answer.reasons, reader),
    )


def kept_readiness(kept: KeptReadiness, reader: Reader) -> ShownReadiness:
    """Readiness as a unit's row keeps it, as the API shows it."""
    for_stock, for_buyer = kept.ready_for_stock, kept.ready_for_buyer
    return ShownReadiness(
        answer=answer_of(for_stock=for_stock, for_buyer=for_buyer),
        ready_for_stock=for_stock,
        ready_for_buyer=for_buyer,
        reasons=shown_reasons(kept.reasons, reader),
    )


def _entry(outcome: Outcome, reader: Reader) -> tuple[ShownEntry | None, ShownAdvice | None]:
    event = outcome.events[0]
    if not isinstance(event, EntryEvent):
        return None, None
    key = (event.step, event.line, event.position)
    entry = outcome.record.box(key).entries[-1]
    return shown_entry(entry, reader), advice_on(outcome.record, key, reader)


def _step(outcome: Outcome) -> StepNow | None:
    record = outcome.record
    code = getattr(outcome.events[0], "step", "")
    if not code or record.procedure is None:
        return None
    digest = content_digest(record, record.procedure.steps[code])
    return StepNow(step=code, status=statuses(record)[code], seen=digest)
