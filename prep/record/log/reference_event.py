"""Base class of events of all streams but units.

Each event states the whole of its subject, so the last one of a stream is the current state and no
fold is needed.
"""

import msgspec


class ReferenceEvent(msgspec.Struct, frozen=True, tag_field="kind"):
    """A fact about a site, model, instrument, procedure, buyer or wording."""
