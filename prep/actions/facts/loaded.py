"""The facts of one command, loaded, with what is to be done about them afterwards."""

from collections.abc import Sequence

import msgspec

from prep.actions.facts.fact import Asked, Fact
from prep.actions.facts.loaders import LOADERS
from prep.actions.log import Place
from prep.record.command import Command, Facts
from prep.record.moments import Bound


class LoadedFacts:
    """The facts of one command, with what is to be done about them afterwards."""

    def __init__(self) -> None:
        self._facts: dict[str, Fact] = {}

    def load(self, command: type[Command], asked: Asked, *, before_lock: bool) -> None:
        """Load the facts that are due before the streams are locked, or after."""
        for need in command.needs:
            loader = LOADERS[need]
            if loader.before_lock == before_lock:
                self._facts[need.name] = loader.load(asked)

    @property
    def values(self) -> Facts:
        """What the decision reads."""
        return Facts({name: fact.value for name, fact in self._facts.items()})

    @property
    def versions(self) -> dict[str, int]:
        """The versions of what was read, for the event."""
        return {key: v for fact in self._facts.values() for key, v in fact.versions.items()}

    @property
    def bounds(self) -> list[Bound]:
        """When each of what was read came on record."""
        return [fact.bound for fact in self._facts.values() if fact.bound]

    @property
    def events(self) -> list[tuple[Place, Sequence[msgspec.Struct]]]:
        """Events of further streams, to be appended before the command's own."""
        return [batch for fact in self._facts.values() for batch in fact.events]

    @property
    def shown_once(self) -> str:
        """A secret that was made for whoever gives the command; empty for none."""
        return "".join(fact.shown_once for fact in self._facts.values())

    def keep(self) -> None:
        """Store what belongs beside the log."""
        for fact in self._facts.values():
            fact.keep()


def sets_read(command: type[Command]) -> list[str]:
    """The named sets a command's decision reads."""
    return list(dict.fromkeys(name for need in command.needs if (name := LOADERS[need].named_set)))
