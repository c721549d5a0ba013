"""What only a file as a whole shows: rows that repeat another, or are easily taken for another."""

from collections.abc import Hashable

from prep.record.command import Command
from prep.record.refusal import Refusal
from reports.imports.declared import ImportKind


class Clashes:
    """The rows of a file that will be carried out, by what they are about."""

    def __init__(self, kind: ImportKind) -> None:
        self._kind = kind
        self._lines: dict[Hashable, int] = {}
        self._alike: dict[Hashable, dict[str, int]] = {}

    def check(self, command: Command) -> None:
        """Refuse a row that repeats an earlier one, or looks like one it was not compared with."""
        earlier = self._lines.get(self._kind.identity(command))
        if earlier:
            raise Refusal("row-repeated", line=earlier)
        alike = self._kind.alike
        if alike is None:
            return
        compared, name = set(alike.compared(command)), alike.name(command)
        for other, line in self._alike.get(alike.key(command), {}).items():
            if other not in compared:
                raise Refusal(
                    "row-look-alike", field="checked_against", serial=name, other=other, line=line
                )

    def add(self, line: int, command: Command) -> None:
        """Remember a row that will be carried out."""
        self._lines[self._kind.identity(command)] = line
        if alike := self._kind.alike:
            self._alike.setdefault(alike.key(command), {})[alike.name(command)] = line
