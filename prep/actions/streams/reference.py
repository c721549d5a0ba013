"""Streams of which the last event is the whole state: no fold is needed."""

from typing import Any
from uuid import UUID

import msgspec
from django.db import models

from prep.actions.locks import lock
from prep.actions.streams.stream import Change, Loaded, Standing, Stream
from prep.models import Event, Person
from prep.queries.people import sites_of
from prep.record.command import Command
from prep.record.reference_events import decode


class ReferenceStream(Stream):
    """A stream of reference events, with one row of `table` as its index.

    Unless it says otherwise it belongs to no site: a role held at any site counts.
    """

    table: type[models.Model]

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """No site, and all roles the person holds anywhere. One query."""
        held = sites_of(person).values()
        return Standing("", frozenset(role for roles in held for role in roles))

    def site_of(self, target: str, command: Command) -> str:
        """No site."""
        return ""

    def lock(self, target: str, command: Command) -> None:
        """Lock the index row. Two that start one stream meet in the log's unique versions."""
        lock(self.table, self.key(target))

    def key(self, target: str) -> Any:
        """The primary key of the index row."""
        return target

    def load(self, target: str, version: int | None = None) -> Loaded:
        """The last event."""
        events = Event.objects.filter(stream=self.name, stream_id=target).order_by("-version")
        if version is not None:
            events = events.filter(version__lte=version)
        row = events.values_list("body", "version", "recorded").first()
        return Loaded(decode(row[0]), row[1], row[2]) if row else Loaded(None, 0, None)

    def apply(self, loaded: Loaded, change: Change) -> None:
        """The last event is the state."""
        loaded.state = change.events[-1]
        loaded.version += len(change.events)
        loaded.recorded = change.context.recorded

    def decode(self, body: str) -> msgspec.Struct:
        """A reference event."""
        return decode(body)

    def new_target(self, command: Command, command_id: UUID) -> str:
        """Given by each kind of stream that a command starts."""
        raise NotImplementedError
