"""Loading what a model or a procedure is held against before it is published."""

from prep.actions.facts.fact import Asked, Fact
from prep.queries.instruments import instrument_kinds
from prep.queries.models import machines, models_for
from prep.queries.procedures import (
    procedures_in_force,
    procedures_with_tractors,
)
from prep.record.procedure.checks.known import (
    PublishedModels,
)
from prep.record.procedure.commands import PublishProcedure


def published_models(asked: Asked) -> Fact:
    """Of a procedure the models it is for and every tractor; of a model those it stands beside."""
    command = asked.command
    if isinstance(command, PublishProcedure):
        return Fact(models_for(command.draft().models))
    document = command.draft()
    if document.sort == "tractor":
        return Fact(PublishedModels())
    beside = {model for one in procedures_in_force((document.model,)) for model in one.models}
    return Fact(PublishedModels(machines(beside)))


def kinds_registered(asked: Asked) -> Fact:
    return Fact(instrument_kinds())


def published_procedures(asked: Asked) -> Fact:
    command = asked.command
    if isinstance(command, PublishProcedure):
        return Fact(procedures_in_force(command.draft().models))
    document = command.draft()
    if document.sort == "tractor":
        return Fact(procedures_with_tractors())
    return Fact(procedures_in_force((document.model,)))
