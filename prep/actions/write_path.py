"""Write path of units: lock, fold, decide, append, index, and notify consumers after the commit.

All actions on units go through here. The record's commands decide what may happen; this module
makes it happen once, in order, and in one transaction.
"""

import hashlib
import logging
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID, uuid4

import msgspec
from django.db import IntegrityError, transaction
from django.utils import timezone

from prep.actions.index_rows import write_rows
from prep.models import Event, Person, Unit, Unsealed
from prep.queries.people import actor_at
from prep.queries.records import Happening, fold_history, history
from prep.record.log import canonical_json
from prep.record.log.envelope import envelope, leaf
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context
from prep.record.unit import events as e
from prep.record.unit.fold import evolve
from prep.record.unit.state import Record, Stamp
from prep.record.unit.views.index_rows import rows

log = logging.getLogger(__name__)

NUL: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")  # as JSON writes it, not a typed “\u0000”
CLOCK_SLACK: Final = timedelta(minutes=2)
Decision = Callable[[Record, Context], list[e.Event]]

# The actor of what the service does by itself. Not a person: it cannot sign in or sign, and it
# holds no role, so commands that require a role refuse it.
ITSELF: Final = Actor("service", "Yardproof service", frozenset())

# Consumers of the log (documents, deadlines) add themselves; they are called after each commit.
CONSUMERS: Final[list[Callable[[], None]]] = []


@dataclass(frozen=True)
class Command:
    """Identity and time of a command: sent twice with one id, it counts once.

    `happened` is the device's time, None for now. With `version`, the version of the unit the
    person looked at, the command is refused where the unit has changed since.
    """

    id: UUID = field(default_factory=uuid4)
    happened: datetime | None = None
    device: str = ""
    version: int | None = None


@dataclass(frozen=True)
class Outcome:
    """Result of a command. `repeated` says that it was carried out before."""

    unit: UUID
    version: int
    events: list[e.UnitEvent]
    repeated: bool
    record: Record


def change_unit(
    *, actor: Person | Actor, unit: UUID, command: Command, request: Sequence[Any], decide: Decision
) -> Outcome:
    """Carry out a command on a unit, or raise Refusal and change nothing.

    `request` is the command's name with its arguments as plain values; the same command id with
    another request is refused.
    """
    digest = request_digest(request)
    try:
        with transaction.atomic():
            row = lock_unit(unit)
            who = _actor_of(actor, row.site_id)
            past = history(unit)
            done = _earlier_outcome(unit, past, command, who, digest)
            if done:
                return done
            record = fold_history(past)
            _check_version(record, command)
            context = context_of(command, who, record.recorded)
            before = rows(record)
            events = decide(record, context)
            append("unit", str(unit), record.version, events, context, command, row.site_id, digest)
            _evolve(record, context, events)
            write_rows(unit, before, rows(record))
    except IntegrityError as collision:
        raise _reused(command, collision) from collision
    return Outcome(unit, record.version, _bodies(events), False, record)


def create_unit(
    *,
    actor: Person,
    unit: UUID,
    site: str,
    look_alike_key: str,
    command: Command,
    request: Sequence[Any],
    decide: Decision,
) -> Outcome:
    """Carry out the command that starts a unit's stream, or raise Refusal and change nothing."""
    digest = request_digest(request)
    try:
        with transaction.atomic():
            who = _actor_of(actor, site)
            earlier = Event.objects.filter(command=command.id).values_list("stream_id", flat=True)
            for known in earlier[:1]:
                done = _earlier_outcome(UUID(known), history(UUID(known)), command, who, digest)
                if done:
                    return done
            record = fold_history([])
            context = context_of(command, who, None)
            events = decide(record, context)
            append("unit", str(unit), 0, events, context, command, site, digest)
            _evolve(record, context, events)
            Unit(id=unit, site_id=site, look_alike_key=look_alike_key, version=0).save(
                force_insert=True
            )
            write_rows(unit, None, rows(record))
    except IntegrityError as collision:
        if "serial" in str(collision):
            raise Refusal(
                "already-received",
                "A unit with this maker and serial is already here. Open it instead.",
                field="serial",
            ) from collision
        raise _reused(command, collision) from collision
    return Outcome(unit, record.version, _bodies(events), False, record)


def lock_unit(unit: UUID) -> Unit:
    """The unit's row, locked until the transaction ends.

    On SQLite the whole database is locked already: each transaction begins IMMEDIATE.
    """
    try:
        return Unit.objects.select_for_update().get(pk=unit)
    except Unit.DoesNotExist:
        raise Refusal("no-such-unit", "There is no such unit.") from None


def request_digest(request: Sequence[Any]) -> str:
    """SHA-256 of a command's name and arguments, in hex; Refusal where a text holds a NUL.

    PostgreSQL cannot store a NUL, so no database profile accepts one.
    """
    encoded = canonical_json.encode(msgspec.to_builtins(request, str_keys=True))
    if NUL.search(encoded):
        raise Refusal(
            "text-unfit", "A text here holds a NUL character, which nothing can show. Type it anew."
        )
    return hashlib.sha256(encoded).hexdigest()


def context_of(command: Command, who: Any, last: datetime | None) -> Context:
    """Context of a command. `recorded` is never before `last`, the stream's last event."""
    now = timezone.now()
    recorded = max(now, last) if last else now
    happened = command.happened or recorded
    return Context(who, min(happened, recorded), recorded, command.id)


def append(
    stream: str,
    stream_id: str,
    version: int,
    events: Sequence[msgspec.Struct],
    context: Context,
    command: Command,
    site: str,
    request: str,
) -> None:
    """Append events after `version` of a stream, in two statements."""
    device = command.device
    if command.happened and command.happened > context.recorded + CLOCK_SLACK:
        ahead = round((command.happened - context.recorded).total_seconds() / 60)
        device = f"{device} (clock {ahead} min ahead)".strip()[:60]
    added = [
        _row(stream, stream_id, version + 1 + part, part, event, context, device, site, request)
        for part, event in enumerate(events)
    ]
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
            log.exception("a consumer of the log failed; the sweep will catch up")


def _row(
    stream: str,
    stream_id: str,
    version: int,
    part: int,
    event: msgspec.Struct,
    context: Context,
    device: str,
    site: str,
    request: str,
) -> Event:
    body = canonical_json.encode(msgspec.to_builtins(event)).decode()
    columns: dict[str, Any] = {
        "stream": stream,
        "stream_id": stream_id,
        "version": version,
        "kind": str(event.__struct_config__.tag),
        "schema": e.SCHEMA,
        "body": body,
        "actor": context.actor.id,
        "actor_name": context.actor.name,
        "site": site,
        "device": device,
        "happened": context.happened,
        "recorded": context.recorded,
        "part": part,
        "request": request,
    }
    hashed = leaf(envelope(**columns, command=str(context.command)))
    return Event(**columns, command=context.command, leaf=hashed.hex())


def _evolve(record: Record, context: Context, events: Sequence[e.Event]) -> None:
    for event in _bodies(events):
        actor, version = context.actor, record.version + 1
        stamp = Stamp(actor.id, actor.name, context.happened, context.recorded, version)
        evolve(record, stamp, event)


def _bodies(events: Sequence[e.Event]) -> list[e.UnitEvent]:
    return list(events)  # type: ignore[arg-type]  # every Event of a unit is one of UnitEvent


def _earlier_outcome(
    unit: UUID, past: list[Happening], command: Command, who: Actor, digest: str
) -> Outcome | None:
    """Outcome of a command that was already carried out on this unit; None for a new one."""
    caused = [happening for happening in past if happening.command == command.id]
    if not caused:
        return None
    if caused[0].stamp.actor != who.id:
        raise command_of_another()
    if caused[0].request != digest:
        raise _other_request()
    version = caused[-1].stamp.version
    record = fold_history(past[:version])
    return Outcome(unit, version, [h.event for h in caused], True, record)


def _reused(command: Command, collision: IntegrityError) -> Exception:
    used = Event.objects.filter(command=command.id).exists()
    return _other_request() if used else collision


def command_of_another() -> Refusal:
    """The refusal of a command id that somebody else used: its outcome is theirs alone."""
    return Refusal(
        "command-reused",
        "Somebody else sent a command with this id. Send yours with an id of its own.",
    )


def _other_request() -> Refusal:
    return Refusal(
        "command-reused",
        "This command id was already used for something else. Send each command with an id of "
        "its own.",
    )


def _check_version(record: Record, command: Command) -> None:
    if command.version is not None and command.version != record.version:
        raise Refusal(
            "changed-meanwhile",
            "The unit changed since you looked at it. Look again, then decide.",
            version=record.version,
        )


def _actor_of(actor: Person | Actor, site: str) -> Actor:
    """The actor, with the roles read from the site: callers cannot bring roles of their own.

    People without a role at the site get the refusal for a unit that does not exist.
    """
    if isinstance(actor, Actor):
        return ITSELF
    who = actor_at(actor, site)
    if not who.roles:
        raise Refusal("no-such-unit", "There is no such unit.")
    return who
