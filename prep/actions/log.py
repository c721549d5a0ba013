"""Appending events to the log, and notifying its consumers after the commit."""

import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

import msgspec
from django.db import transaction
from django.utils import timezone

from prep.actions.submission import Submission
from prep.models import Event, Unsealed
from prep.record.log import canonical_json
from prep.record.log.envelope import envelope, leaf
from prep.record.moments import Said, happened_at
from prep.record.roles import Actor, Context
from prep.record.unit.events import SCHEMA

logger = logging.getLogger(__name__)

# The actor of what the service does by itself. Not a person: it cannot sign in or sign, and it
# holds no role.
ITSELF: Final = Actor("service", "Yardproof service", frozenset())
# The actor of what somebody does at the service's console without an account of their own.
CONSOLE: Final = Actor("console", "Console of the service", frozenset())

# Consumers of the log (documents, deadlines) add themselves; they are called after each commit.
CONSUMERS: Final[list[Callable[[], None]]] = []


@dataclass(frozen=True)
class Place:
    """Where events go: the stream, its last version, and the site they are about."""

    stream: str
    target: str
    version: int
    site: str


def context_of(
    submission: Submission,
    who: Actor,
    said: Said,
    *,
    last: datetime | None,
    begun: datetime | None,
    named: Actor | None = None,
) -> Context:
    """Context of a command; Refusal where it says an impossible time.

    `recorded` is never before `last`, when the stream's last event was recorded; `begun` is when
    its first one happened.
    """
    now = timezone.now()
    recorded = max(now, last) if last else now
    return Context(who, happened_at(said, recorded, begun), recorded, submission.id, named)


def append(
    batches: Sequence[tuple[Place, Sequence[msgspec.Struct]]],
    context: Context,
    submission: Submission,
    *,
    request: str,
    facts: Mapping[str, int],
) -> None:
    """Append events to one stream or several, in two statements.

    `facts` are the versions of what the decision read from outside the streams.
    """
    read = canonical_json.encode(dict(facts)).decode()
    added: list[Event] = []
    for place, events in batches:
        for number, event in enumerate(events, place.version + 1):
            columns: dict[str, Any] = {
                "stream": place.stream,
                "stream_id": place.target,
                "version": number,
                "kind": str(event.__struct_config__.tag),
                "schema": SCHEMA,
                "body": canonical_json.encode(msgspec.to_builtins(event)).decode(),
                "actor": context.actor.id,
                "actor_name": context.actor.name,
                "site": place.site,
                "device": submission.device,
                "drift": submission.drift,
                "named": context.named.id if context.named else "",
                "named_name": context.named.name if context.named else "",
                "happened": context.happened,
                "recorded": context.recorded,
                "part": len(added),
                "request": request,
                "facts": read,
            }
            hashed = leaf(envelope(**columns, command=str(context.command)))
            added.append(Event(**columns, command=context.command, leaf=hashed.hex()))
    Event.objects.bulk_create(added)
    Unsealed.objects.bulk_create([Unsealed(event=row) for row in added])
    transaction.on_commit(notify)


def notify() -> None:
    """Notify the consumers of the log that there are new events.

    A failing consumer is only logged: the command is done, and the periodic sweep catches up.
    """
    for consumer in CONSUMERS:
        try:
            consumer()
        except Exception:
            logger.exception("a consumer of the log failed; the sweep will catch up")
