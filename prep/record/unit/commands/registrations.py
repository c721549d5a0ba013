"""Commands that record a warranty registration, and where the registration stands."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.state import Record

State = Literal["not due", "due", "overdue", "sent", "accepted", "refused"]


@dataclass(frozen=True)
class Registration:
    """A warranty registration: state, deadline (ISO date or empty), version, reason if refused."""

    state: State
    due: str
    version: int
    reason: str


def registration(record: Record, today: date) -> Registration:
    """The unit's warranty registration as of a day."""
    recorded = as_recorded(record)
    late = is_late(recorded.state, recorded.due, today.isoformat())
    return replace(recorded, state="overdue") if late else recorded


def is_late(state: str, due: str, today: str) -> bool:
    """Whether a registration is past its deadline and was not sent (ISO dates)."""
    return state == "due" and "" < due < today


def as_recorded(record: Record) -> Registration:
    """The unit's warranty registration by its events alone, which do not tell what is overdue."""
    if record.handover is None:
        return Registration("not due", "", 0, "")
    due = record.handover[0].registration_due
    last = record.registration[-1][0] if record.registration else None
    if isinstance(last, e.RegistrationSent):
        return Registration("sent", due, last.version, "")
    if isinstance(last, e.RegistrationAnswered):
        state: State = "accepted" if last.accepted else "refused"
        return Registration(state, due, last.version, last.reason)
    return Registration("due", due, 0, "")


def send(record: Record, context: Context, *, document: str, note: str = "") -> list[e.Event]:
    """Record that the registration was sent to the manufacturer; a resend is a new version."""
    require(context, OFFICE | DESK, "send registrations")
    now = registration(record, context.happened.date())
    if now.state == "not due":
        raise Refusal("not-handed-over", "Registration follows the handover. Hand it over first.")
    if now.state == "accepted":
        raise Refusal("already-accepted", "The maker has already accepted this registration.")
    if not any(
        d.document == document and d.document_kind == "registration" for d, _ in record.documents
    ):
        raise Refusal(
            "no-such-document",
            "There is no such registration bundle of this unit. Have it made first.",
            field="document",
        )
    return [e.RegistrationSent(now.version + 1, document, note)]


def answer(record: Record, context: Context, *, accepted: bool, reason: str = "") -> list[e.Event]:
    """Record the manufacturer's answer to the version sent last."""
    require(context, OFFICE | DESK, "record the maker's answer")
    now = registration(record, context.happened.date())
    if now.state != "sent":
        raise Refusal("not-sent", "No registration is waiting for the maker's answer.")
    if not accepted and not reason.strip():
        raise Refusal("reason-missing", "Say why the maker refused.", field="reason")
    return [e.RegistrationAnswered(now.version, accepted, reason)]
