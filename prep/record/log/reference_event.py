"""The base of events in streams that are not units: sites, models, instruments, procedures.

Each of these events states the whole of what it is about, so the last one of a stream is its
present state and no fold is needed.
"""

import msgspec


class ReferenceEvent(msgspec.Struct, frozen=True, tag_field="kind"):
    """A fact about something that is not a unit."""
