"""Commands that record a warranty registration, and where the registration stands."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar, Literal

from prep.record.command import Facts, Permission
from prep.record.fields import Note, RegistrationId
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Context
from prep.record.unit import events as e
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand

State = Literal["not-due", "due", "overdue", "sent", "accepted", "refused"]


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
        return Registration("not-due", "", 0, "")
    due = record.handover[0].registration_due
    last = record.registration[-1][0] if record.registration else None
    if last and _sent_misread(record):
        return Registration("due", due, last.version, "")
    if isinstance(last, e.RegistrationSent):
        return Registration("sent", due, last.version, "")
    if isinstance(last, e.RegistrationAnswered):
        state: State = "accepted" if last.accepted else "refused"
        return Registration(state, due, last.version, last.reason)
    return Registration("due", due, 0, "")


def _sent_misread(record: Record) -> bool:
    """Whether what was sent last still gave the plate as it was misread."""
    sent = [s.version for one, s in record.registration if isinstance(one, e.RegistrationSent)]
    return bool(record.corrections) and max(sent, default=0) < record.corrections[-1][1].version


class SendRegistration(UnitCommand, frozen=True, kw_only=True, tag="registration.send"):
    """Record that the registration was sent to the manufacturer; a resend is a new version."""

    permission: ClassVar = Permission(OFFICE | DESK)

    document: RegistrationId
    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit was handed over, and the manufacturer has not accepted yet."""
        now = registration(state, context.happened.date())
        if now.state == "not-due":
            raise Refusal("not-handed-over")
        if now.state == "accepted":
            raise Refusal("already-accepted")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The document is a registration of this unit."""
        if not any(
            d.document == self.document and d.document_kind == "registration"
            for d, _ in state.documents
        ):
            raise Refusal("no-such-registration", field="document")
        now = registration(state, context.happened.date())
        return [e.RegistrationSent(now.version + 1, self.document, self.note)]


class AnswerRegistration(UnitCommand, frozen=True, kw_only=True, tag="registration.answer"):
    """Record the manufacturer's answer to the registration sent last."""

    permission: ClassVar = Permission(OFFICE | DESK)

    accepted: bool
    reason: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """A registration was sent, and is not answered."""
        if registration(state, context.happened.date()).state != "sent":
            raise Refusal("not-sent")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """A rejection comes with its reason."""
        if not self.accepted and not self.reason.strip():
            raise Refusal("reason-missing", field="reason")
        now = registration(state, context.happened.date())
        return [e.RegistrationAnswered(now.version, self.accepted, self.reason)]
