"""Document kinds: what describes one, and the requests, answers and files it deals in."""

import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any, NamedTuple
from uuid import UUID

import msgspec
from django.conf import settings

from prep.models import Person
from prep.record.personal import Personal
from prep.record.roles import Role
from prep.record.unit.state import Record
from prep.words.documents.stand_ins import stand_in_text
from prep.words.reader import Reader
from reports.models import DocumentRequest

# Progress callback of a builder: steps done, steps in all. It keeps the claim on the request alive,
# so call it at least once a minute; it raises when the request was cancelled.
Progress = Callable[[int, int], None]


class NotYetError(Exception):
    """Raised by a builder while something it needs is still being made; the queue tries again."""


class Held(NamedTuple):
    """Personal data in a file: of which sort, and whose (a buyer's id, a photo's)."""

    sort: Personal
    subject: str


@dataclass(frozen=True)
class BuiltFile:
    """A built file at a temporary path, with its name, document number and media type.

    `bag` is the SHA-256 of the tag manifest of a bundle, empty for anything else. `holds` are the
    personal data in it: who may open it follows from them, and they are erased with it.
    """

    path: Path
    name: str
    number: str
    media_type: str
    bag: str = ""
    holds: frozenset[Held] = frozenset()


class NoParameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of a document kind that takes none."""


@dataclass(frozen=True)
class Request:
    """A person's request for a document. `unit` is None for one of several units or of none.

    `parameters` is what was sent as the kind's own struct; `sent` the same as plain values.
    """

    person: Person
    command: UUID
    unit: UUID | None
    parameters: Any
    sent: dict[str, Any]


@dataclass(frozen=True)
class Accepted:
    """An accepted request: id of what the document is made for, and the builder's parameters."""

    cause: str
    parameters: dict[str, Any]


@dataclass(frozen=True)
class StandIn:
    """The document that another stands in for, by its number, and what befell its file, a token."""

    number: str
    why: str

    def text(self, reader: Reader) -> str:
        """The same in words, for the face of the document."""
        return stand_in_text(self.number, self.why, reader)


def stand_in_of(request: DocumentRequest) -> StandIn | None:
    """What a requested document stands in for; None for one that was asked for itself."""
    if not request.instead or request.replaces is None:
        return None
    return StandIn(request.replaces.number, request.instead)


@dataclass(frozen=True)
class Correction:
    """A unit's plate was corrected: its record then, and the position of the event."""

    unit: UUID
    record: Record
    position: int


def _nothing(correction: Correction) -> list[Accepted]:
    return []


class Scope(StrEnum):
    """How many units a document of a kind covers."""

    UNIT = "one"
    MANY = "many-or-none"
    EITHER = "one-or-many"


@dataclass(frozen=True)
class EventCause:
    """The event of a unit that calls for a document, and how to read the cause from it."""

    kind: str
    cause_of: Callable[[Any], str]


@dataclass(frozen=True, kw_only=True)
class DocumentKind:
    """One kind of document, entered in `reports.registry`.

    `letter` begins its numbers. `made_on` says which event calls for one by itself, `retried_on`
    which events may have added what a failed one lacked. One that `replaces_earlier` takes the
    place of the earlier ones of its unit, among those that `succession` reads the same from the
    cause of. `corrected` says which have to be made again because a unit's plate had been misread.
    `asked_by` may ask for it, at the unit's yard or at any for a document of many.

    `parts` are the documents whose files it holds: they must be intact before it is made again. One
    that is of the moment it is made in is not `repeatable` with the same bytes.

    `accept` says what a document is made for, its cause: a release, a handover and the version of
    its registration, or one command. There is one document a kind and cause. It raises
    Refusal where it cannot be made, or not with these parameters.
    """

    name: str
    title: str
    letter: str
    scope: Scope
    asked_by: frozenset[Role]
    parameters: type[msgspec.Struct]
    accept: Callable[[Request], Accepted]
    build: Callable[[DocumentRequest, Progress], BuiltFile]
    made_on: EventCause | None = None
    retried_on: frozenset[str] = frozenset()
    replaces_earlier: bool = False
    succession: Callable[[str], str] = lambda cause: ""
    parts: Callable[[DocumentRequest], Iterable[DocumentRequest]] = lambda request: ()
    repeatable: bool = True
    corrected: Callable[[Correction], list[Accepted]] = _nothing


def temporary_file(request: DocumentRequest, ending: str) -> Path:
    """Create an empty file for a builder to write; the queue removes it when the builder fails.

    It lies beside the published files, because only there is moving it atomic.
    """
    folder = building_folder(request) / str(request.worker)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=folder, suffix=ending, delete=False) as opened:
        return Path(opened.name)


def building_folder(request: DocumentRequest) -> Path:
    """Folder in which tries at a document are built; nothing in it was ever published."""
    return Path(settings.MEDIA_ROOT) / ".building" / str(request.pk)
