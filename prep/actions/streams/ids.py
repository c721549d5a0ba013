"""Streams named by an id that follows from the command that starts them."""

from uuid import UUID, uuid5

from prep.record.command import Command
from prep.record.inputs.spelling import id_of
from prep.record.refusal import Refusal


class NamedById:
    """Part of a stream: its targets are ids. `names` is their name space.

    A command sent again starts no second stream, and a device knows the id before the service does.
    """

    names: UUID

    def unknown(self) -> Refusal:
        """What is said of an id that nothing has, or nothing the person may know of."""
        raise NotImplementedError

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The id that follows from the command."""
        return str(uuid5(self.names, str(command_id)))

    def key(self, target: str) -> UUID:
        """The id itself, the primary key of the index row."""
        return UUID(target)

    def named(self, target: str) -> str:
        """The canonical form of an id; of what is none, as of one that nothing has."""
        known = id_of(target)
        if known is None:
            raise self.unknown()
        return str(known)
