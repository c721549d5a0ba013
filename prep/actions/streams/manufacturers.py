"""The streams of manufacturers."""

from uuid import UUID, uuid5

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded
from prep.models import Manufacturer
from prep.record.command import Command
from prep.record.refusal import Refusal

MANUFACTURER_NAMES = UUID("7c1f2a64-2f0b-4d53-9d3e-0d0a5b7f41c2")


class ManufacturerStream(ReferenceStream):
    """Somebody whose machines the dealership has."""

    name = "manufacturer"
    table = Manufacturer

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The id follows from the command, so that a resend adds no second one."""
        return str(uuid5(MANUFACTURER_NAMES, str(command_id)))

    def key(self, target: str) -> UUID:
        """The manufacturer's id."""
        return UUID(target)

    def named(self, target: str) -> str:
        """The canonical form of the UUID; of what is none, as of one that does not exist."""
        try:
            return str(UUID(target))
        except ValueError:
            raise Refusal("no-such-manufacturer-id") from None

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the manufacturer's row."""
        super().apply(loaded, change)
        event = loaded.state
        Manufacturer.objects.update_or_create(
            pk=self.key(change.target),
            defaults={
                "name": event.name,
                "aliases": list(event.aliases),
                "spellings": "\n".join((event.name, *event.aliases)),
                "version": loaded.version,
            },
        )
