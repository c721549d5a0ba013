"""What differs between kinds of stream: who stands where, locks, state, and index rows."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

import msgspec

from prep.models import Event, Person
from prep.record.command import Command
from prep.record.roles import Context, Role


@dataclass(frozen=True)
class Standing:
    """The site a target belongs to (empty for none), and the roles a person holds there.

    `zone` is the site's time zone, empty where it was not read. `own` says that the target is the
    person themselves.
    """

    site: str
    roles: frozenset[Role]
    zone: str = ""
    own: bool = False


@dataclass
class Loaded:
    """A stream as it is: its state, its last version, and when its last event was recorded."""

    state: Any
    version: int
    recorded: datetime | None


@dataclass(frozen=True)
class Cause:
    """What an earlier command with the same id did: its actor, its request and its events."""

    actor: str
    request: str
    version: int
    events: Sequence[msgspec.Struct]


@dataclass(frozen=True)
class Change:
    """What a command does to one stream: its new events, and who caused them when and where."""

    target: str
    command: Command
    context: Context
    events: Sequence[msgspec.Struct]
    site: str


class Stream(ABC):
    """One kind of stream. The methods run inside the command's transaction."""

    name: str

    @abstractmethod
    def new_target(self, command: Command, command_id: UUID) -> str:
        """Id of the stream that a creating command starts or continues."""

    @abstractmethod
    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """Site and roles; Refusal, as of something that does not exist, for anybody else's."""

    @abstractmethod
    def site_of(self, target: str, command: Command) -> str:
        """Site of a target, for a command of the service itself."""

    @abstractmethod
    def lock(self, target: str, command: Command) -> None:
        """Lock the stream until the transaction ends."""

    @abstractmethod
    def load(self, target: str, version: int | None = None) -> Loaded:
        """The stream's state, now or as of a version."""

    @abstractmethod
    def apply(self, loaded: Loaded, change: Change) -> None:
        """Bring the state and the index rows up to date with new events."""

    @abstractmethod
    def decode(self, body: str) -> msgspec.Struct:
        """An event of the stream from its JSON text."""

    def begun(self, target: str, loaded: Loaded) -> datetime | None:
        """When the stream's first event happened; None where there is none yet. One query."""
        first = Event.objects.filter(stream=self.name, stream_id=target, version=1)
        return first.values_list("happened", flat=True).first()

    def named(self, target: str) -> str:
        """The id of a target as text from outside names it; Refusal where it cannot be one."""
        return target

    def caused(self, target: str, command_id: UUID) -> Cause | None:
        """What a command with this id did to this stream before; None for a new one. One query."""
        rows = Event.objects.filter(
            stream=self.name, stream_id=target, command=command_id
        ).order_by("version")
        known = list(rows.values_list("actor", "request", "version", "body"))
        if not known:
            return None
        actor, request, _, _ = known[0]
        events = [self.decode(body) for _, _, _, body in known]
        return Cause(actor, request, known[-1][2], events)
