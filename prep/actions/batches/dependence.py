"""Which command of a batch depends on which: by its word, or by naming what another would make.

Ids of what a command makes follow from its own id, so that a device can name an entry, a flag or a
unit before the service has heard of it.
"""

from collections.abc import Iterator, Mapping, Set
from typing import Any
from uuid import UUID, uuid5

from prep.actions.batches.batch import Sent
from prep.actions.streams.all_streams import STREAMS
from prep.actions.streams.ids import NamedById

_SPACES = [stream.names for stream in STREAMS.values() if isinstance(stream, NamedById)]
# Names of what a command makes on a unit besides what has its own id.
_DERIVED = ("flag", "photo")


class Waiting:
    """The commands of a batch that were not carried out, with the ids they would have made."""

    def __init__(self) -> None:
        self._maker: dict[str, UUID] = {}

    def add(self, sent: Sent) -> None:
        """A command was not carried out: what it would have made is missing."""
        self._maker |= dict.fromkeys(made_by(sent.id), sent.id)

    def holds_back(self, sent: Sent, done: Set[UUID]) -> UUID | None:
        """The command that this one waits for; None where it can be tried now.

        `done` are the commands that were carried out, in this batch or before.
        """
        for earlier in sent.after:
            if earlier not in done:
                return earlier
        for text in (sent.target or "", *_texts(sent.values)):
            maker = self._named(text)
            if maker and maker != sent.id and maker not in done:
                return maker
        return None

    def _named(self, text: str) -> UUID | None:
        """The command that would have made what a text names.

        A command that makes several things of a kind numbers them after its own id.
        """
        name = text.strip().casefold()
        return self._maker.get(name) or self._maker.get(name[:36])


def made_by(command: UUID) -> list[str]:
    """The ids of what a command may make."""
    derived = (uuid5(command, name) for name in _DERIVED)
    named = (uuid5(space, str(command)) for space in _SPACES)
    return [str(one) for one in (command, *derived, *named)]


def _texts(value: Any) -> Iterator[str]:
    """Every text in the fields of a command, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _texts(inner)
