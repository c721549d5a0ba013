"""What holding, releasing, re-opening and handing over a unit may do."""

import hashlib
from collections.abc import Sequence
from datetime import timedelta

from prep.record import canonical
from prep.record import events as e
from prep.record.readiness import Readiness, readiness
from prep.record.refusal import Refusal
from prep.record.roles import DESK, MANAGER, SERVICE, Context, require
from prep.record.sheet import applies, content_digest
from prep.record.unit import Record
from prep.record.working import not_finished


def hold(record: Record, context: Context, *, reason: str) -> list[e.Event]:
    """Stop work on the unit."""
    require(context, SERVICE, "put a unit on hold")
    not_finished(record)
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the unit is held.", field="reason")
    return [e.Held(reason)]


def resume(record: Record, context: Context, *, note: str = "") -> list[e.Event]:
    """Let work go on."""
    require(context, MANAGER, "resume work")
    if record.held is None:
        raise Refusal("not-held", "This unit is not on hold.")
    return [e.Resumed(note)]


def release(record: Record, context: Context, *, seen: str) -> list[e.Event]:
    """Make the unit deliverable, or say in plain words everything that stops it.

    Released for the buyer where one is assigned and the tractor steps are done, else for stock.
    `seen` is the digest of the sheet the manager was shown.
    """
    require(context, MANAGER, "release units")
    not_finished(record)
    if record.release and record.release.event.ready_for == _ready_for(record):
        raise Refusal("already-released", "This unit is already released.")
    answer = readiness(record)
    if answer.reasons:
        raise not_ready(answer)
    if seen != sheet_digest(record):
        raise Refusal(
            "content-changed",
            "The sheet changed since it was shown. Look at it again, then release.",
            field="seen",
        )
    return [
        e.Released(
            release=str(context.command),
            ready_for=_ready_for(record),
            content=seen,
            buyer=record.buyer.id if record.buyer else "",
            tractor=record.tractor.code if record.tractor else "",
        )
    ]


def _ready_for(record: Record) -> str:
    return "buyer" if record.buyer else "stock"


def not_ready(answer: Readiness) -> Refusal:
    """The refusal of a release with all its reasons."""
    first = answer.reasons[0].text
    more = f" And {len(answer.reasons) - 1} more." if len(answer.reasons) > 1 else ""
    return Refusal(
        "not-ready",
        f"Not ready for release. {first}{more}",
        reasons=[
            {"code": r.code, "text": r.text, "step": r.step, "flag": r.flag} for r in answer.reasons
        ],
    )


def sheet_digest(record: Record) -> str:
    """SHA-256 over the content of every step that applies, as shown to whoever releases."""
    steps = record.procedure.steps.values() if record.procedure else ()
    shown = {
        "steps": [[s.step, content_digest(record, s)] for s in steps if applies(record, s)],
        "buyer": record.buyer.id if record.buyer else "",
        "tractor": record.tractor.code if record.tractor else "",
        "skipped": [[code, state.skipped] for code, state in record.steps.items() if state.skipped],
    }
    return hashlib.sha256(canonical.encode(shown)).hexdigest()


def reopen(
    record: Record, context: Context, *, reason: str, steps: Sequence[str] = ()
) -> list[e.Event]:
    """Withdraw the release; the named steps are to be worked again."""
    require(context, MANAGER, "re-open a released unit")
    not_finished(record)
    if record.release is None:
        raise Refusal("not-released", "This unit is not released; re-open single steps instead.")
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the unit is re-opened.", field="reason")
    known = record.procedure.steps if record.procedure else {}
    unknown = [code for code in steps if code not in known]
    if unknown:
        raise Refusal("no-such-step", f"The sheet has no step “{unknown[0]}”.", field="steps")
    return [e.Reopened(reason, tuple(steps))]


def hand_over(
    record: Record,
    context: Context,
    *,
    recipient_digest: str,
    relation: str,
    language: str,
    shown: Sequence[str],
    manual_given: bool,
    hour_meter: str = "",
    place: str = "",
    first_use: str = "own use",
) -> list[e.Event]:
    """Delivery: what was shown, to whom, in which language, and that the manual was given."""
    require(context, DESK | SERVICE, "hand units over")
    not_finished(record)
    if record.release is None or record.release.event.ready_for != "buyer":
        raise Refusal(
            "not-released",
            "Only a unit released for its buyer can be handed over. Ask the service manager.",
        )
    if not manual_given:
        raise Refusal(
            "manual-missing",
            "The maker's manual goes with the machine. Hand it over first, then record it.",
            field="manual_given",
        )
    missing = [topic for topic in MUST_SHOW if topic not in shown]
    if missing:
        raise Refusal(
            "not-shown",
            f"Show the recipient first: {'; '.join(missing)}.",
            field="shown",
            missing=missing,
        )
    if not language.strip() or not relation.strip():
        raise Refusal(
            "recipient-unclear",
            "Say in which language it was shown and what the recipient is to the buyer.",
            field="language" if not language.strip() else "relation",
        )
    return [
        e.HandedOver(
            handover=str(context.command),
            recipient_digest=recipient_digest,
            relation=relation,
            language=language,
            shown=tuple(shown),
            manual_given=manual_given,
            hour_meter=hour_meter,
            place=place,
            first_use=first_use,
            registration_due=_registration_due(record, context),
        )
    ]


def _registration_due(record: Record, context: Context) -> str:
    """Date by which the maker wants the registration, or empty where its rule is not known."""
    days = record.model.data.get("registration_days") if record.model else None
    if not isinstance(days, int):
        return ""
    return (context.happened.date() + timedelta(days=days)).isoformat()


# What every buyer is shown. Common practice, no published source; the maker's own list comes first.
MUST_SHOW = (
    "adjustments",
    "grease points and oil levels",
    "safety signs and their meaning",
    "engaging the drive",
    "transport locks and road travel",
    "first-hours checks",
)
