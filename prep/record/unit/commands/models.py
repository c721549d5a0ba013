"""Commands that set a unit's model and options, and correct them once its sheet is started."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Code, Meta, ModelCode, Reason
from prep.record.needs import MODEL
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.commands.receiving import check_model, plate_flags
from prep.record.unit.events.identity import ModelCorrected
from prep.record.unit.flag_facts import Closing, Origin
from prep.record.unit.guards import not_finished, unreleased
from prep.record.unit.sheet import begun_steps
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class AssignModel(UnitCommand, frozen=True, kw_only=True, tag="model.assign"):
    """Set the model a unit is and the options it was built with."""

    permission: ClassVar = Permission(SERVICE | {Role.ADMINISTRATOR})
    needs: ClassVar = (MODEL,)

    model: ModelCode
    options: Annotated[tuple[Code, ...], Meta(max_length=50)] = ()

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The sheet, which depends on the model, is not started."""
        not_finished(state)
        if state.sheet:
            raise Refusal("sheet-started")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The model is one of the manufacturer on the plate, and has these options."""
        model = facts[MODEL]
        assert model is not None  # the field is required
        check_model(model, self.options, state.manufacturer, state.maker)
        return [e.ModelAssigned(model, self.options)]


class CorrectModel(UnitCommand, frozen=True, kw_only=True, tag="model.correct"):
    """Correct the model or the options of a unit whose sheet is started.

    Begun steps that draw on the model's data or the options re-open; the event names them, and
    those that stand. Where the procedure is not for the new model the unit is not ready until its
    sheet is moved to one that is.
    """

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (MODEL,)
    must_match: ClassVar = True

    model: ModelCode
    options: Annotated[tuple[Code, ...], Meta(max_length=50)] = ()
    reason: Reason

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The sheet is started, and the unit not released."""
        unreleased(state)
        if state.sheet is None:
            raise Refusal("model-not-used")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The model or the options are others, of the manufacturer on the plate."""
        model = facts[MODEL]
        assert model is not None  # the field is required
        check_model(model, self.options, state.manufacturer, state.maker)
        if (state.model, state.options) == (model, self.options):
            raise Refusal("model-unchanged", field="model", model=model.name)
        begun = [step for code, step in _steps(state) if code in begun_steps(state)]
        corrected = ModelCorrected(
            model=model,
            options=self.options,
            was_model=state.model.code if state.model else "",
            reason=self.reason,
            reopened=tuple(step.step for step in begun if step.needs_model),
            kept=tuple(step.step for step in begun if not step.needs_model),
        )
        closed = [
            e.FlagClosed(flag.id, Closing.MODEL_CORRECTED.value)
            for flag in state.open_flags()
            if flag.about.origin == Origin.SERIAL_SCHEME
        ]
        return [corrected, *closed, *plate_flags(context, "", state.serial, model)]


def _steps(record: Record) -> list[tuple[str, Step]]:
    return list(record.procedure.steps.items()) if record.procedure else []
