"""Actions that publish model and tractor data and set a unit's model."""

from collections.abc import Sequence
from uuid import UUID

import msgspec

from prep.actions.reference_stream import append_one, office_anywhere
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import MachineModel, Person
from prep.queries.models import model_facts
from prep.record.facts import ModelDocument
from prep.record.model.events import ModelPublished
from prep.record.procedure.yaml_documents import convert, load_yaml
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit.commands import models


def publish_model(*, actor: Person, command: Command, text: str) -> ModelDocument:
    """Publish a model's or tractor's data from its YAML document."""
    who = office_anywhere(actor)
    document = convert(load_yaml(text), ModelDocument)
    facts = document.facts()

    def index(version: int, context: Context) -> None:
        known = MachineModel.objects.filter(pk=document.model).first()
        if known and known.revision >= document.revision:
            raise Refusal(
                "revision-not-newer",
                f"{document.model} is already at revision {known.revision}. Publish a higher one.",
                field="revision",
            )
        MachineModel.objects.update_or_create(
            code=document.model,
            defaults={
                "sort": document.sort,
                "maker": document.maker,
                "name": document.name,
                "revision": document.revision,
                "version": version,
                "facts": msgspec.to_builtins(facts),
            },
        )

    append_one(
        actor=who,
        command=command,
        stream="model",
        stream_id=document.model,
        site="",
        event=ModelPublished(facts, document.sort),
        index=index,
    )
    return document


def assign_model(
    *, actor: Person, command: Command, unit: UUID, model: str, options: Sequence[str] = ()
) -> Outcome:
    """Set the unit's model and options."""
    facts = model_facts(model)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.assign_model", model, options],
        decide=lambda record, context: models.assign_model(
            record, context, model=facts, options=options
        ),
    )
