"""A fact: its value, for which command it is loaded, and how."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import msgspec

from prep.actions.beside_the_log.picture_files import StoredPicture
from prep.actions.log import Place
from prep.actions.submission import Submission
from prep.models import Person
from prep.record.moments import Bound


def _nothing() -> None:
    """Nothing to store."""


@dataclass(frozen=True)
class Fact:
    """A loaded fact: its value, the versions of what was read, and what follows.

    `events` are those of further streams that have to stand in the log before the command's own.
    `bound` is when what was read came on record: nothing that refers to it happened before.
    `shown_once` is a secret that was made for whoever gives the command.
    """

    value: Any
    bound: Bound | None = None
    versions: Mapping[str, int] = field(default_factory=dict)
    events: Sequence[tuple[Place, Sequence[msgspec.Struct]]] = ()
    keep: Callable[[], None] = _nothing
    shown_once: str = ""


@dataclass(frozen=True)
class Asked:
    """For which command a fact is loaded. `state` is None before the streams are locked.

    `in_past` says that the command names a moment at which it happened, which is `happened` once
    it is settled.
    """

    command: Any
    target: str
    site: str
    person: Person | None
    submission: Submission
    picture: StoredPicture | None
    zone: str = ""
    in_past: bool = False
    happened: datetime | None = None
    state: Any = None


@dataclass(frozen=True)
class Loader:
    """How a fact is loaded: before the streams are locked, or after; and the set it reads."""

    load: Callable[[Asked], Fact]
    before_lock: bool = False
    named_set: str = ""
