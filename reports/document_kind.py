"""What a kind of document is: who may ask for it, what it is made for, and how it is made."""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
from django.conf import settings

from prep.models import Person
from prep.record.roles import Role
from reports.models import DocumentRequest

# Called as a builder gets on, with how much is done and how much there is. It keeps the claim on
# the request alive, so call it at least once a minute; it raises when the request was cancelled.
Progress = Callable[[int, int], None]


class NotYetError(Exception):
    """Something a document needs is still being made; the queue tries again."""


@dataclass(frozen=True)
class BuiltFile:
    """A finished file at a temporary path, and how it is to be known."""

    path: Path
    name: str
    number: str
    media_type: str


class NoParameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """For a kind of document about which nothing can be chosen."""


@dataclass(frozen=True)
class Request:
    """Who asks for what. `unit` is None for a document of several units or of none.

    `parameters` is what was sent as the kind's own struct; `sent` the same as plain values.
    """

    person: Person
    command: UUID
    unit: UUID | None
    parameters: Any
    sent: dict[str, Any]


@dataclass(frozen=True)
class Accepted:
    """What the document is made for, and what its builder is told."""

    cause: str
    parameters: dict[str, Any]


class Scope(StrEnum):
    """What a document of a kind is of."""

    UNIT = "one unit"
    MANY = "several units or none"
    EITHER = "one unit or several"


@dataclass(frozen=True)
class EventCause:
    """An event of a unit that calls for a document, and the id of what the document is made for."""

    kind: str
    cause_of: Callable[[Any], str]


@dataclass(frozen=True, kw_only=True)
class DocumentKind:
    """One kind of document, entered in `reports.registry`.

    `letter` begins its numbers. There is one document a kind and cause; `cause` says in words what
    that is, `made_on` which event calls for one by itself, `retried_on` which events may have added
    what a failed one lacked. One that `replaces_earlier` takes the place of the earlier ones of its
    unit. `asked_by` may ask for it, at the unit's yard or at any for a document of many.

    `accept` raises Refusal where it cannot be made, or not with these parameters.
    """

    name: str
    title: str
    letter: str
    cause: str
    scope: Scope
    asked_by: frozenset[Role]
    parameters: type[msgspec.Struct]
    accept: Callable[[Request], Accepted]
    build: Callable[[DocumentRequest, Progress], BuiltFile]
    made_on: EventCause | None = None
    retried_on: frozenset[str] = frozenset()
    replaces_earlier: bool = False


def temporary_file(request: DocumentRequest, ending: str) -> Path:
    """A new empty file to build in, removed by itself when the builder fails.

    It lies beside the published files, because only there is moving it atomic.
    """
    folder = building_folder(request) / str(request.worker)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=folder, suffix=ending, delete=False) as opened:
        return Path(opened.name)


def building_folder(request: DocumentRequest) -> Path:
    """Where every try at a document is built; what is found here was never published."""
    return Path(settings.MEDIA_ROOT) / ".building" / str(request.pk)
