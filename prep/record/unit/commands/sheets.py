"""Commands that start a sheet and move it to another procedure revision."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import ProcedureCode, Reason, Revision, Short
from prep.record.procedure.document import Procedure
from prep.record.procedure.needs import PROCEDURE_IN_FORCE, REVISION
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.serial_schemes import SchemeError, SerialRange, scheme_from


class StartSheet(UnitCommand, frozen=True, kw_only=True, tag="sheet.start"):
    """Start the sheet of a unit.

    The unit gets the current procedure for its model and serial number, or the current revision of
    the procedure named.
    """

    permission: ClassVar = Permission(SERVICE)
    needs: ClassVar = (PROCEDURE_IN_FORCE,)

    procedure: Short = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The model is known, and the sheet not started."""
        not_finished(state)
        if state.sheet:
            raise Refusal("already-started")
        _has_model(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The procedure is for the unit's model and serial; it is pinned by its digest."""
        pinned = facts[PROCEDURE_IN_FORCE]
        _check_fits(state, pinned.procedure)
        return [
            e.SheetStarted(pinned.procedure.procedure, pinned.procedure.revision, pinned.digest)
        ]


class MoveSheet(UnitCommand, frozen=True, kw_only=True, tag="sheet.move"):
    """Move a sheet to another revision of its procedure.

    Steps that differ re-open; the others keep their entries and sign-offs.
    """

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (REVISION,)
    must_match: ClassVar = True

    procedure: ProcedureCode
    revision: Revision
    reason: Reason

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The sheet is started, and the unit not released."""
        not_finished(state)
        if state.sheet is None:
            raise Refusal("no-sheet")
        if state.release:
            raise Refusal("released")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The revision is another one of the same procedure, and is for the unit."""
        pinned = facts[REVISION]
        procedure, digest = pinned.procedure, pinned.digest
        assert state.sheet is not None  # the guard
        assert state.procedure is not None
        if state.sheet.digest == digest:
            raise Refusal("same-revision")
        if procedure.procedure != state.procedure.procedure:
            raise Refusal("other-procedure")
        _check_fits(state, procedure)
        old = state.procedure.steps
        reopened = tuple(
            code for code, step in procedure.steps.items() if code in old and old[code] != step
        )
        return [
            e.SheetMoved(procedure.procedure, procedure.revision, digest, self.reason, reopened)
        ]


def _has_model(record: Record) -> None:
    if record.model is None:
        raise Refusal("no-model")


def _check_fits(record: Record, procedure: Procedure) -> None:
    _has_model(record)
    assert record.model is not None
    if record.model.code not in procedure.models:
        raise Refusal(
            "other-model",
            field="procedure",
            procedure=procedure.procedure,
            models=procedure.models,
            model=record.model.code,
        )
    if procedure.serials and not _covers(procedure.serials, record):
        raise Refusal(
            "other-serials",
            field="procedure",
            procedure=procedure.procedure,
            revision=procedure.revision,
            first=procedure.serials.first,
            last=procedure.serials.last,
        )


def _covers(serials: SerialRange, record: Record) -> bool:
    """Whether the unit's serial lies in a range; it may be about a part of the model's scheme."""
    stated = record.model.serial_scheme if record.model else {}
    try:
        return serials.covers(record.serial, scheme_from(stated) if stated else None)
    except SchemeError:
        return False
    except RuleRefusal as no:
        raise Refusal("serial-unlike-range", field="serial", why=no.phrase) from no
