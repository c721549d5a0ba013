"""What is sent with a command, and what comes back."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from prep.actions.accounts.origin import HERE, Origin
from prep.record.unit.state import Record


@dataclass(frozen=True)
class Submission:
    """Identity and time of a command: sent twice with one id, it counts once.

    `happened` is the device's time, None for now; `drift` is by how many seconds its clock was
    behind ours when it sent, None where that is unknown. With `version`, the version of the unit
    the person looked at, the command is refused where the unit has changed since. `author` is the
    user name of whoever made the entry, where that is not the person who sends it. `origin` is
    where it comes from, by which attempts at a PIN are counted.
    """

    id: UUID = field(default_factory=uuid4)
    happened: datetime | None = None
    device: str = ""
    version: int | None = None
    drift: int | None = None
    author: str = ""
    origin: Origin = HERE


@dataclass(frozen=True)
class Outcome:
    """Result of a command on a stream. `repeated` says that it was carried out before.

    `shown_once` is a secret that it made, for whoever gave it; a repeated one has none.
    """

    target: str
    version: int
    events: Sequence[Any]
    repeated: bool
    state: Any
    shown_once: str = ""

    @property
    def unit(self) -> UUID:
        """The unit of a command on a unit."""
        return UUID(self.target)

    @property
    def record(self) -> Record:
        """The record of the unit after a command on a unit."""
        assert isinstance(self.state, Record)
        return self.state
