"""Commands that start a sheet and move it to another procedure revision."""

from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.serial_schemes import SerialRange


def start_sheet(
    record: Record, context: Context, *, procedure: Procedure, digest: str
) -> list[e.Event]:
    """Start the sheet: pin a procedure revision to the unit by its digest."""
    require(context, SERVICE, "start sheets")
    not_finished(record)
    if record.sheet:
        raise Refusal("sheet-started", "The sheet is already started. Open it instead.")
    _check_fits(record, procedure)
    return [e.SheetStarted(procedure.procedure, procedure.revision, digest)]


def move_sheet(
    record: Record, context: Context, *, procedure: Procedure, digest: str, reason: str
) -> list[e.Event]:
    """Move the sheet to another revision of its procedure; steps that differ re-open."""
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
    _check_fits(record, procedure)
    old = record.procedure.steps
    reopened = tuple(
        code for code, step in procedure.steps.items() if code in old and old[code] != step
    )
    return [e.SheetMoved(procedure.procedure, procedure.revision, digest, reason, reopened)]


def _check_fits(record: Record, procedure: Procedure) -> None:
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
        raise Refusal("serial-unlike-range", str(no), field="serial", why=no.phrase) from no
