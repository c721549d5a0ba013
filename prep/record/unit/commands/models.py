"""Command that sets a unit's model and options."""

from collections.abc import Sequence

from prep.record.facts import ModelFacts
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context, Role, require
from prep.record.unit import events as e
from prep.record.unit.commands.receiving import check_options
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record


def assign_model(
    record: Record, context: Context, *, model: ModelFacts, options: Sequence[str] = ()
) -> list[e.Event]:
    """Set the model and options the unit was built with; refused once its sheet is started."""
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
