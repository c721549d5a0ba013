"""Commands that start a sheet and move it to another procedure revision."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import ProcedureCode, Reason, Revision, Short
from prep.record.procedure.needs import PROCEDURE_IN_FORCE, REVISION
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import check_fits, not_finished
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


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
        if state.model is None:
            raise Refusal("no-model")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The procedure is for the unit's model and serial; it is pinned by its digest."""
        pinned = facts[PROCEDURE_IN_FORCE]
        check_fits(state, pinned.procedure)
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
        check_fits(state, procedure)
        old = state.procedure.steps
        reopened = tuple(
            code for code, step in procedure.steps.items() if code in old and old[code] != step
        )
        return [
            e.SheetMoved(procedure.procedure, procedure.revision, digest, self.reason, reopened)
        ]
