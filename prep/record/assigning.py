"""What assigning a model, a buyer and a procedure may do."""

from collections.abc import Sequence

from prep.record import events as e
from prep.record.facts import BuyerRef, ModelFacts, TractorFacts
from prep.record.procedure import Procedure
from prep.record.receiving import check_options
from prep.record.refusal import Refusal
from prep.record.roles import DESK, MANAGER, OFFICE, SERVICE, Context, Role, require
from prep.record.sheet import tractor_steps
from prep.record.unit import Record
from prep.record.working import not_finished
from prep.rules.catalogue import RuleRefusal
from prep.rules.serial_schemes import SerialRange


def assign_model(
    record: Record, context: Context, *, model: ModelFacts, options: Sequence[str] = ()
) -> list[e.Event]:
    """The model and options the unit was built with; only before its sheet is started."""
    require(context, SERVICE | {Role.ADMINISTRATOR}, "assign models")
    not_finished(record)
    if record.sheet:
        raise Refusal(
            "sheet-started",
            "The sheet is already started on this model. Put the unit on hold and ask a service "
            "manager to receive it again under the right model.",
        )
    if model.maker != record.maker:
        raise Refusal(
            "other-maker",
            f"{model.name} is made by {model.maker}; the plate says {record.maker}.",
            field="model",
        )
    check_options(model, options)
    return [e.ModelAssigned(model, tuple(options))]


def assign_buyer(
    record: Record, context: Context, *, buyer: BuyerRef, tractor: TractorFacts
) -> list[e.Event]:
    """The buyer and tractor; every step that depends on the tractor is to be done (again)."""
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
    return [e.BuyerAssigned(buyer, tractor, _worked_tractor_steps(record) if changed else ())]


def amend_buyer(record: Record, context: Context, *, buyer: BuyerRef) -> list[e.Event]:
    """The buyer's particulars were corrected. After the handover too: nothing signed rests on them.

    What was issued keeps the particulars it was issued with.
    """
    require(context, DESK | OFFICE, "correct a buyer's particulars")
    if record.buyer is None or record.buyer.id != buyer.id:
        raise Refusal("other-buyer", "The unit is not meant for this buyer any more. Look again.")
    return [e.BuyerAmended(buyer)]


def withdraw_buyer(record: Record, context: Context, *, reason: str) -> list[e.Event]:
    """The unit goes back to stock."""
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
    return [e.BuyerWithdrawn(reason, _worked_tractor_steps(record))]


def _worked_tractor_steps(record: Record) -> tuple[str, ...]:
    """Tractor-dependent steps on which anything was entered, signed or skipped."""
    worked = {key[0] for key, box in record.boxes.items() if box.entries}
    worked |= {code for code, state in record.steps.items() if state.signatures or state.skipped}
    return tuple(code for code in tractor_steps(record.procedure) if code in worked)


def start_sheet(
    record: Record, context: Context, *, procedure: Procedure, digest: str
) -> list[e.Event]:
    """Pin a procedure revision to the unit; preparation starts."""
    require(context, SERVICE, "start sheets")
    not_finished(record)
    if record.sheet:
        raise Refusal("sheet-started", "The sheet is already started. Open it instead.")
    _fits(record, procedure)
    return [e.SheetStarted(procedure.procedure, procedure.revision, digest)]


def move_sheet(
    record: Record, context: Context, *, procedure: Procedure, digest: str, reason: str
) -> list[e.Event]:
    """Move the sheet to another revision; steps that differ, or are new, re-open."""
    require(context, MANAGER, "move a sheet to another revision")
    not_finished(record)
    if record.procedure is None or record.sheet is None:
        raise Refusal("no-sheet", "The sheet has not been started. Start it first.")
    if record.release:
        raise Refusal("released", "This unit is released. Re-open it first, with the reason.")
    if record.sheet.digest == digest:
        raise Refusal("same-revision", "The sheet is already on this revision.")
    if procedure.procedure != record.procedure.procedure:
        raise Refusal("other-procedure", "A sheet moves between revisions of one procedure only.")
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the sheet moves.", field="reason")
    _fits(record, procedure)
    old = record.procedure.steps
    reopened = tuple(
        code for code, step in procedure.steps.items() if code in old and old[code] != step
    )
    return [e.SheetMoved(procedure.procedure, procedure.revision, digest, reason, reopened)]


def _fits(record: Record, procedure: Procedure) -> None:
    if record.model is None:
        raise Refusal("no-model", "Assign the model first; the procedure depends on it.")
    if record.model.code not in procedure.models:
        raise Refusal(
            "other-model",
            f"Procedure {procedure.procedure} is for {', '.join(procedure.models)}, "
            f"not for {record.model.code}.",
            field="procedure",
        )
    if procedure.serials and not _covers(procedure.serials, record.serial):
        raise Refusal(
            "other-serials",
            f"Procedure {procedure.procedure} revision {procedure.revision} is for serials "
            f"{procedure.serials.first} to {procedure.serials.last}.",
            field="procedure",
        )


def _covers(serials: SerialRange, serial: str) -> bool:
    try:
        return serials.covers(serial)
    except RuleRefusal as no:
        raise Refusal("serial-unlike-range", no.message, field="serial") from no
