"""The streams of manufacturers."""

from uuid import UUID

from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded
from prep.models import Manufacturer
from prep.record.refusal import Refusal


class ManufacturerStream(NamedById, ReferenceStream):
    """Somebody whose machines the dealership has."""

    name = "manufacturer"
    table = Manufacturer
    names = UUID("7c1f2a64-2f0b-4d53-9d3e-0d0a5b7f41c2")

    def unknown(self) -> Refusal:
        """No manufacturer has the id."""
        return Refusal("no-such-manufacturer-id")

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
