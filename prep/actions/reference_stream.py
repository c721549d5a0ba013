"""Write path of reference streams (sites, models, instruments, procedures) and their permission."""

from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.db.models import Max

from prep.actions.write_path import Command, append, command_of_another, context_of, request_digest
from prep.models import Event, Person
from prep.queries.people import actor_at, sites_of
from prep.record.log.reference_event import ReferenceEvent
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Actor, Context

Index = Callable[[int, Context], None]


def append_one(
    *,
    actor: Actor,
    command: Command,
    stream: str,
    stream_id: str,
    site: str,
    event: ReferenceEvent,
    index: Index,
) -> None:
    """Append one event to a stream and write its index row, once per command.

    `index(version, context)` writes the row. Raises Refusal where the command id had another use
    or somebody else changed the stream at the same time.
    """
    request = request_digest([stream, stream_id, event])
    try:
        with transaction.atomic():
            earlier = Event.objects.filter(command=command.id)
            known = earlier.values_list("request", "actor").first()
            if known and known[1] != actor.id:
                raise command_of_another()
            if known and known[0] == request:
                return
            last = Event.objects.filter(stream=stream, stream_id=stream_id).aggregate(
                version=Max("version"), recorded=Max("recorded")
            )
            context = context_of(command, actor, last["recorded"])
            version = last["version"] or 0
            append(stream, stream_id, version, [event], context, command, site, request)
            index(version + 1, context)
    except IntegrityError as collision:
        if Event.objects.filter(command=command.id).exclude(request=request).exists():
            raise Refusal(
                "command-reused", "This command id was already used for something else."
            ) from collision
        raise Refusal(
            "changed-meanwhile", "Somebody else changed this at the same moment. Look again."
        ) from collision


def office_at(actor: Person, site: str) -> Actor:
    """The person as an actor with an office role at the site; Refusal without one."""
    who = actor_at(actor, site)
    if not who.roles & OFFICE:
        raise Refusal("not-allowed", "Only an administrator or a service manager may do this.")
    return who


def office_anywhere(actor: Person) -> Actor:
    """The person as an actor with an office role at any site; Refusal without one.

    Models and procedures belong to no site, so the role may be held at any.
    """
    roles = frozenset(role for held in sites_of(actor).values() for role in held)
    if not roles & OFFICE:
        raise Refusal("not-allowed", "Only an administrator or a service manager may publish.")
    return Actor(str(actor.pk), str(actor), roles)
