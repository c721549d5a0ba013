"""What a command came to, as the API answers it."""

from uuid import UUID

import msgspec

from api.answers.entries import ShownAdvice, ShownEntry, advice_on, shown_entry
from prep.actions.write_path import Outcome
from prep.record.unit.events import CheckCompleted, ReadingTaken, UnitEvent
from prep.record.unit.readiness import Readiness, Reason, readiness
from prep.record.unit.sheet import Status, content_digest, statuses


class ShownReadiness(msgspec.Struct, frozen=True, kw_only=True):
    """Is it ready, and everything that stops it with where to go."""

    answer: str
    ready_for_stock: bool
    ready_for_buyer: bool
    reasons: tuple[Reason, ...]


class StepNow(msgspec.Struct, frozen=True, kw_only=True):
    """Where the step of a command stands after it; `seen` is what a sign-off of it names."""

    step: str
    status: Status
    seen: str


class Recorded(msgspec.Struct, frozen=True, kw_only=True):
    """What was recorded, and how the unit stands after it.

    `events` are the facts added to the record, in order. `entry` and `advice` are given for a
    reading or check, `step` for a command on a step. `repeated` says that the command had been
    carried out before; everything then is as it was at that time.
    """

    unit: UUID
    version: int
    repeated: bool
    events: list[UnitEvent]
    entry: ShownEntry | None
    advice: ShownAdvice | None
    step: StepNow | None
    readiness: ShownReadiness


def shown_outcome(outcome: Outcome) -> Recorded:
    """An outcome as answered. No statement: everything comes from the record."""
    entry, advice = _entry(outcome)
    return Recorded(
        unit=outcome.unit,
        version=outcome.version,
        repeated=outcome.repeated,
        events=outcome.events,
        entry=entry,
        advice=advice,
        step=_step(outcome),
        readiness=shown_readiness(readiness(outcome.record)),
    )


def shown_readiness(answer: Readiness) -> ShownReadiness:
    """Readiness as answered."""
    return ShownReadiness(
        answer=answer.answer,
        ready_for_stock=answer.ready_for_stock,
        ready_for_buyer=answer.ready_for_buyer,
        reasons=answer.reasons,
    )


def _entry(outcome: Outcome) -> tuple[ShownEntry | None, ShownAdvice | None]:
    event = outcome.events[0]
    if not isinstance(event, ReadingTaken | CheckCompleted):
        return None, None
    key = (event.step, event.line, event.position)
    entry = outcome.record.box(key).entries[-1]
    return shown_entry(entry), advice_on(outcome.record, key)


def _step(outcome: Outcome) -> StepNow | None:
    record = outcome.record
    code = getattr(outcome.events[0], "step", "")
    if not code or record.procedure is None:
        return None
    digest = content_digest(record, record.procedure.steps[code])
    return StepNow(step=code, status=statuses(record)[code], seen=digest)
