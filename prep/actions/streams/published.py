"""The streams of models and procedures: published revisions, of no site."""

from uuid import UUID

import msgspec

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded
from prep.models import MachineModel, ProcedureRevision
from prep.record.command import Command
from prep.record.model.commands import PublishModel
from prep.record.model.events import ModelPublished
from prep.record.procedure.commands import PublishProcedure
from prep.record.procedure.events import ProcedurePublished


class ModelStream(ReferenceStream):
    """A machine model or a tractor."""

    name = "model"
    table = MachineModel

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The code in the document."""
        assert isinstance(command, PublishModel)
        return command.draft().model

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the model's row."""
        super().apply(loaded, change)
        event: ModelPublished = loaded.state
        MachineModel.objects.update_or_create(
            code=change.target,
            defaults={
                "sort": event.sort,
                "maker": event.facts.maker,
                "manufacturer": event.facts.manufacturer,
                "name": event.facts.name,
                "revision": event.facts.revision,
                "version": loaded.version,
                "facts": msgspec.to_builtins(event.facts),
            },
        )


class ProcedureStream(ReferenceStream):
    """A procedure with its revisions."""

    name = "procedure"
    table = ProcedureRevision

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The code in the document."""
        assert isinstance(command, PublishProcedure)
        return command.draft().procedure

    def lock(self, target: str, command: Command) -> None:
        """The lock of the set of procedures is enough."""

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Add the revision's row."""
        super().apply(loaded, change)
        event: ProcedurePublished = loaded.state
        ProcedureRevision.objects.create(
            digest=event.digest,
            procedure=event.procedure,
            revision=event.revision,
            title=event.document["title"],
            model_codes=list(event.document["models"]),
            document=event.document,
            published=change.context.recorded,
        )
