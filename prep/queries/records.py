"""A unit's history as read from the log, and the record folded from it."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple
from uuid import UUID

import msgspec

from prep.models import Event, ProcedureRevision
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.record.unit.events import UnitEvent, decode
from prep.record.unit.fold import evolve
from prep.record.unit.state import Named, Record, Stamp
from prep.record.unit.views.past import VIEWS, Past, View


@lru_cache(maxsize=256)
def procedure_by_digest(digest: str) -> Procedure:
    """A published procedure by its digest; Refusal where there is none.

    Cached: the procedure of a digest cannot change.
    """
    try:
        document = ProcedureRevision.objects.values_list("document", flat=True).get(pk=digest)
    except ProcedureRevision.DoesNotExist:
        raise Refusal("not-published") from None
    return msgspec.convert(document, Procedure)


class Library(Mapping[str, Procedure]):
    """Published procedures by digest."""

    def __getitem__(self, digest: str) -> Procedure:
        return procedure_by_digest(digest)

    def __iter__(self) -> Iterator[str]:
        return iter(ProcedureRevision.objects.values_list("pk", flat=True))

    def __len__(self) -> int:
        return ProcedureRevision.objects.count()


LIBRARY = Library()


class Happening(NamedTuple):
    """An event of a unit with its stamp and the command that caused it."""

    stamp: Stamp
    event: UnitEvent
    command: UUID
    request: str


def history(
    unit: UUID,
    *,
    known_at: datetime | None = None,
    below: int | None = None,
    version: int | None = None,
) -> list[Happening]:
    """A unit's events in order, all of them or a part; the only loader of a history. One query.

    `known_at` is the last moment recorded, `below` the first sealed position left out, `version`
    the last version.
    """
    events = Event.objects.filter(stream="unit", stream_id=str(unit)).order_by("version")
    if known_at is not None:
        events = events.filter(recorded__lte=known_at)
    if below is not None:
        events = events.filter(sealed__position__lt=below)
    if version is not None:
        events = events.filter(version__lte=version)
    columns = events.values_list(
        "body",
        "actor",
        "actor_name",
        "happened",
        "recorded",
        "version",
        "named",
        "named_name",
        "command",
        "request",
    )
    return [
        Happening(_stamp(*stamped), decode(body), command, request)
        for body, *stamped, command, request in columns
    ]


def _stamp(
    actor: str,
    name: str,
    happened: datetime,
    recorded: datetime,
    version: int,
    named: str,
    named_name: str,
) -> Stamp:
    author = Named(named, named_name) if named else None
    return Stamp(actor, name, happened, recorded, version, author)


def record_of(unit: UUID) -> Record:
    """The record of a unit now."""
    return fold_history(history(unit))


def past_of(unit: UUID, view: View, moment: datetime) -> Past:
    """A unit at a moment, in one of the two views; empty where it was not received by then."""
    return VIEWS[view](((h.stamp, h.event) for h in history(unit)), moment, LIBRARY)


def fold_history(happenings: list[Happening]) -> Record:
    """The record of a history that is already loaded."""
    record = Record(LIBRARY)
    for happening in happenings:
        evolve(record, happening.stamp, happening.event)
    return record
