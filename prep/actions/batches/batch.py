"""A batch: the commands a device kept while it had no signal, in the order they were given."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

from prep.actions.submission import Outcome
from prep.record.command import Command


@dataclass(frozen=True)
class Device:
    """Who sends: the name the device keeps, and by how many seconds its clock is behind ours."""

    id: str
    drift: int


@dataclass(frozen=True)
class Sent:
    """One command of a batch, as it was sent.

    `values` are its tagged fields, not checked yet. `after` are the ids of commands it depends on;
    `author` is the user name of whoever made the entry, where that is not the sender.
    """

    id: UUID
    values: Mapping[str, Any]
    happened: datetime
    target: str | None = None
    version: int | None = None
    after: tuple[UUID, ...] = ()
    author: str = ""

    @property
    def tag(self) -> str:
        """The tag as it was sent; empty for none."""
        tag = self.values.get("command")
        return tag if isinstance(tag, str) else ""


class Status(StrEnum):
    """What became of a command of a batch."""

    DONE = "done"
    REPEATED = "repeated"
    REFUSED = "refused"
    HELD = "held"


@dataclass(frozen=True)
class Result:
    """What became of one command.

    Done or repeated, it has its `outcome`; refused, it has what is `wrong`. Held, it waits for
    another command, or, where we failed ourselves, it has what went `wrong` and is to be sent
    again.
    """

    sent: Sent
    status: Status
    command: type[Command] | None = None
    outcome: Outcome | None = None
    wrong: Exception | None = None
    waits_for: UUID | None = None
