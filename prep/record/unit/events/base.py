"""Base class of the events of a unit's stream; `prep.record.unit.events` has them all."""

import msgspec


class Event(msgspec.Struct, frozen=True, tag_field="kind"):
    """A fact about a unit."""
