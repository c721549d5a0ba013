"""Command that sets a unit's model and options."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Code, Meta, ModelCode
from prep.record.needs import MODEL
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.commands.receiving import check_model
from prep.record.unit.guards import not_finished
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
