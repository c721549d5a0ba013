"""Commands that release a unit and withdraw its release."""

import hashlib
from collections.abc import Sequence

from prep.record.log import canonical_json
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.readiness import Readiness, readiness
from prep.record.unit.sheet import applies, content_digest
from prep.record.unit.state import Record


def release(record: Record, context: Context, *, seen: str) -> list[e.Event]:
    """Release the unit, for its buyer where one is assigned, else for stock.

    `seen` is the digest of the sheet the manager was shown. Raises Refusal with all reasons where
    the unit is not ready.
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
    """Refusal of a release, with the reasons the unit is not ready in `details`."""
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
    """SHA-256, in hex, of what a release signs: steps that apply, skipped steps, buyer, tractor."""
    steps = record.procedure.steps.values() if record.procedure else ()
    shown = {
        "steps": [[s.step, content_digest(record, s)] for s in steps if applies(record, s)],
        "buyer": record.buyer.id if record.buyer else "",
        "tractor": record.tractor.code if record.tractor else "",
        "skipped": [[code, state.skipped] for code, state in record.steps.items() if state.skipped],
    }
    return hashlib.sha256(canonical_json.encode(shown)).hexdigest()


def reopen(
    record: Record, context: Context, *, reason: str, steps: Sequence[str] = ()
) -> list[e.Event]:
    """Withdraw the release; the steps named are to be done again."""
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
