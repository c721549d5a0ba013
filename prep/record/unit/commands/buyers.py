"""Commands on a unit's buyer: assign, correct the details, withdraw."""

from prep.record.facts import BuyerRef, TractorFacts
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.sheet import tractor_steps
from prep.record.unit.state import Record


def assign_buyer(
    record: Record, context: Context, *, buyer: BuyerRef, tractor: TractorFacts
) -> list[e.Event]:
    """Assign a buyer and tractor; steps done for another tractor re-open."""
    require(context, DESK, "assign buyers")
    not_finished(record)
    if record.release and record.release.event.ready_for == "buyer":
        raise Refusal(
            "released",
            "This unit is released for another buyer. A service manager re-opens it first.",
        )
    if record.buyer == buyer and record.tractor == tractor:
        raise Refusal("already-assigned", "The unit is already meant for this buyer and tractor.")
    changed = record.tractor is not None and record.tractor != tractor
    return [e.BuyerAssigned(buyer, tractor, _begun_tractor_steps(record) if changed else ())]


def amend_buyer(record: Record, context: Context, *, buyer: BuyerRef) -> list[e.Event]:
    """Record corrected buyer details, also after the handover: nothing signed depends on them.

    Documents already issued keep the details they were issued with.
    """
    require(context, DESK | OFFICE, "correct a buyer's particulars")
    if record.buyer is None or record.buyer.id != buyer.id:
        raise Refusal("other-buyer", "The unit is not meant for this buyer any more. Look again.")
    return [e.BuyerAmended(buyer)]


def withdraw_buyer(record: Record, context: Context, *, reason: str) -> list[e.Event]:
    """Cancel the sale; the unit returns to stock."""
    require(context, DESK, "withdraw buyers")
    not_finished(record)
    if record.buyer is None:
        raise Refusal("no-buyer", "No buyer is assigned. Sell it first: buyer and tractor.")
    if record.release and record.release.event.ready_for == "buyer":
        raise Refusal(
            "released", "This unit is released for its buyer. A service manager re-opens it first."
        )
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the buyer withdrew.", field="reason")
    return [e.BuyerWithdrawn(reason, _begun_tractor_steps(record))]


def _begun_tractor_steps(record: Record) -> tuple[str, ...]:
    """Codes of the tractor-dependent steps in which anything was entered, signed or skipped."""
    begun = {key[0] for key, box in record.boxes.items() if box.entries}
    begun |= {code for code, state in record.steps.items() if state.signatures or state.skipped}
    return tuple(code for code in tractor_steps(record.procedure) if code in begun)
