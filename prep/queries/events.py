"""Rows of events for lists, and the commands of batches that were not taken."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import F, Q

from prep.models import Event, Person, RefusedCommand
from prep.queries.listing.declaration import Row
from prep.record.reference_events import decode
from prep.record.refusal import Refusal
from prep.record.refused.events import CommandRefused, RefusedSettled

MOST_LISTED = 500


def events_of(
    unit: UUID,
    *,
    after: int = 0,
    limit: int = 100,
    known_at: datetime | None = None,
    happened_by: datetime | None = None,
) -> list[Row]:
    """Events of a unit after version `after`, in order, with their positions in the log.

    `known_at` leaves out what was recorded later, `happened_by` what happened later.
    """
    events = Event.objects.filter(stream="unit", stream_id=str(unit), version__gt=after)
    if known_at is not None:
        events = events.filter(recorded__lte=known_at)
    if happened_by is not None:
        events = events.filter(happened__lte=happened_by)
    columns = ("id", "version", "kind", "body", "actor", "actor_name", "device", "drift")
    more = ("named", "named_name", "happened", "recorded", "command", "leaf")
    position = F("sealed__position")
    return list(events.order_by("version").values(*columns, *more, position=position)[:limit])


def leaf_of(event: int, sites: Iterable[str]) -> str:
    """Leaf hash, in hex, of an event of one of the sites or of no site; Refusal for any other."""
    events = Event.objects.filter(pk=event, site__in=[*sites, ""])
    leaf: str | None = events.values_list("leaf", flat=True).first()
    if leaf is None:
        raise Refusal("no-such-event")
    return leaf


@dataclass(frozen=True)
class Settling:
    """How a command that was not taken was settled; `reason` is empty where it was taken since."""

    name: str
    at: datetime
    reason: str


@dataclass(frozen=True)
class NotTaken:
    """A command that was not taken: what it said, who sent it, and how it was settled if it was.

    `author` is the printed name of whoever the device named; their user name as it was sent, where
    it is nobody's.
    """

    id: str
    event: CommandRefused
    sender: str
    name: str
    author: str
    device: str
    drift: int | None
    recorded: datetime
    settling: Settling | None

    @property
    def open(self) -> bool:
        """Whether somebody still has to look into it."""
        return self.settling is None


def refused_on(unit: UUID) -> list[NotTaken]:
    """What was not taken on a unit, the newest first. Four queries."""
    return _listed(Q(unit=str(unit)))


def refused_on_no_unit(person: Person, sites: Iterable[str]) -> list[NotTaken]:
    """What was not taken of no unit that is here, and is open, the newest first. Four queries.

    That of the sites, and what this person sent that is of no site.
    """
    theirs = Q(site__in=list(sites)) | Q(site="", person=str(person.pk))
    return [one for one in _listed(theirs & Q(unit="", settled=False)) if one.open]


def refused_seen(person: Person, sites: Iterable[str], which: UUID) -> NotTaken:
    """One of those a person may see; Refusal where it does not exist or is not theirs to see."""
    theirs = Q(site__in=list(sites)) | Q(site="", person=str(person.pk))
    found = _listed(theirs & Q(pk=which))
    if not found:
        raise Refusal("no-such-refused")
    return found[0]


def _listed(condition: Q) -> list[NotTaken]:
    ids = RefusedCommand.objects.filter(condition).values_list("pk", flat=True)
    return refused_commands([str(one) for one in ids])[:MOST_LISTED]


def refused_commands(ids: Sequence[str]) -> list[NotTaken]:
    """Commands that were not taken, by their ids, the newest first."""
    if not ids:
        return []
    events = Event.objects.filter(stream="refused", stream_id__in=ids).order_by("-pk")
    first: list[tuple[Event, CommandRefused]] = []
    settled: dict[str, Settling] = {}
    for row in events:
        event = decode(row.body)
        if isinstance(event, CommandRefused):
            first.append((row, event))
        elif isinstance(event, RefusedSettled):
            settled[row.stream_id] = Settling(row.actor_name, row.recorded, event.reason)
    settled = {**_taken_since(first), **settled}
    names = _names({event.author for _, event in first})
    return [
        NotTaken(
            id=row.stream_id,
            event=event,
            sender=row.actor,
            name=row.actor_name,
            author=names.get(event.author, event.author),
            device=row.device,
            drift=row.drift,
            recorded=row.recorded,
            settling=settled.get(row.stream_id),
        )
        for row, event in first
    ]


def _taken_since(kept: Sequence[tuple[Event, CommandRefused]]) -> dict[str, Settling]:
    """Those whose very command its sender sent again, and it was taken."""
    sent = {(event.command, row.actor): row for row, event in kept}
    later = Event.objects.filter(command__in=[event.command for _, event in kept])
    taken = {}
    for event in later:
        row = sent.get((str(event.command), event.actor))
        if row and event.pk > row.pk:
            taken[row.stream_id] = Settling(event.actor_name, event.recorded, "")
    return taken


def _names(usernames: Iterable[str]) -> dict[str, str]:
    people = Person.objects.filter(username__in=set(usernames) - {""})
    return {person.username: str(person) for person in people}
