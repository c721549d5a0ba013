"""What declares an import: its name, the command a row becomes, and its columns.

Page, API, console command, templates and checks follow from the declaration.
"""

import re
import unicodedata
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.words.reader import LANGUAGES, Reader, say
from reports.imports.reading.cells import Cell
from reports.imports.reading.values import CellKind, read_value

Values = Mapping[str, Any]


@dataclass(frozen=True)
class Column:
    """A column: the field it fills, its title, how its cells are read, and an example.

    It is found by its name, by its title in any language, or by a further spelling.
    """

    name: str
    title: str
    kind: CellKind
    required: bool = False
    spellings: tuple[str, ...] = ()
    example: str = ""

    def accepted(self) -> set[str]:
        """Every way its title may be written, made comparable."""
        readers = [Reader(language=language) for language in LANGUAGES]
        texts = (say(reader, text) for reader in readers for text in (self.title, *self.spellings))
        return {comparable(text) for text in (self.name, *texts)}

    def value(self, cell: Cell) -> Any:
        """The value of a cell; None for an empty one. Raises Refusal of one that is not fit."""
        value = read_value(self.kind, cell)
        if self.required and value in (None, ()):
            raise Refusal("cell-missing")
        return value


@dataclass(frozen=True)
class Alike:
    """How rows of one file are compared that are easily taken for one another.

    Two with one `key` and different `name`s are alike, unless one says it was `compared`.
    """

    key: Callable[[Any], Hashable]
    name: Callable[[Any], str]
    compared: Callable[[Any], Iterable[str]]


def _given(command: type[Command]) -> Callable[[Values, str], Command]:
    def make(values: Values, site: str) -> Command:
        return command(**({"site": site} if site else {}), **values)

    return make


@dataclass(frozen=True, kw_only=True)
class ImportKind:
    """One kind of import.

    `of_site` says that the rows are of one yard, chosen for the whole file. `identity` is what no
    two rows of a file may share. `present` gives what is on record of the thing a row is about, by
    column: the row takes the place of all of it, so a column that is missing would erase it. With
    `data` every further column is a value of a model.
    """

    name: str
    title: str
    explanation: str
    command: type[Command]
    columns: tuple[Column, ...]
    identity: Callable[[Any], Hashable]
    of_site: bool = True
    data: tuple[tuple[str, str], ...] = ()
    alike: Alike | None = None
    present: Callable[[Any], Values] = field(default=lambda command: {})
    made: Callable[[Values, str], Command] | None = None

    def make(self, values: Values, site: str) -> Command:
        """The command of a row. Raises Refusal where the values do not make one."""
        return (self.made or _given(self.command))(values, site)

    @cached_property
    def by_spelling(self) -> dict[str, Column]:
        """Each column by each way its title may be written."""
        return {text: column for column in self.columns for text in column.accepted()}


# A title that names a value of a model, as documents and procedures write it.
DATA_NAME: Final = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
LONGEST_DATA_NAME: Final = 60


def comparable(text: str) -> str:
    """A title without case, accents, spaces and signs, so that spellings of one are equal."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in plain if sign.isalnum())
