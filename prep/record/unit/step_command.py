"""Base class of the commands on one step of a sheet."""

from collections.abc import Iterator
from typing import Any, ClassVar

from prep.record.command import Permission, permit
from prep.record.fields import StepCode
from prep.record.moments import Bound
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context
from prep.record.unit.guards import open_for_work, sheet
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class StepCommand(UnitCommand, frozen=True, kw_only=True):
    """A command on one step of a unit's sheet."""

    permission: ClassVar = Permission(SERVICE)

    step: StepCode

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The sheet is started and may be changed."""
        sheet(state)

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """Refuse where the step does not allow the command, whatever the other fields.

        `more` is what `open_for_work` may be told.
        """
        open_for_work(record, context, step, **more)

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The start of the sheet, and the last re-opening of the step."""
        if state.sheet_started:
            moment = state.sheet_started.happened
            yield Bound(moment, Refusal("happened-before-sheet", moment=moment))
        step = state.steps.get(self.step)
        if step and step.reopened and state.procedure and self.step in state.procedure.steps:
            last = step.reopened[-1]
            title = state.procedure.steps[self.step].title
            moment = last.stamp.happened
            no = Refusal("happened-before-reopening", step_title=title, moment=moment)
            yield Bound(moment, no)

    @classmethod
    def refusal_in(
        cls, record: Record, context: Context, step: Step, **more: Any
    ) -> Refusal | None:
        """Why the actor may not give the command in a step now; None where they may.

        `more` goes to the step's guard.
        """
        try:
            permit(cls, context.actor.roles)
            cls.guard(record, context)
            cls.guard_step(record, context, step, **more)
        except Refusal as refusal:
            return refusal
        return None
