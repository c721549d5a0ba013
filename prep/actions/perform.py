"""The one write path: every command on every stream is carried out here.

In this order: the fields, permission, the PIN, whether the command was carried out before, and only
then the state, so that nobody learns anything of a state they may not change. All of it is one
transaction: locks, facts, state, decision, events, index rows. Consumers are notified after the
commit.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

import msgspec
from django.db import IntegrityError, transaction
from django.db.models import Q

from prep.actions.accounts.pins import confirm
from prep.actions.beside_the_log.picture_files import StoredPicture, stored_picture
from prep.actions.facts.fact import Asked
from prep.actions.facts.loaded import LoadedFacts, sets_read
from prep.actions.locks import lock_sets
from prep.actions.log import ITSELF, Place, append, context_of
from prep.actions.request_digest import request_digest
from prep.actions.streams.all_streams import STREAMS, UNITS
from prep.actions.streams.stream import Cause, Change, Loaded, Standing, Stream
from prep.actions.streams.units import LoadedUnit
from prep.actions.submission import Outcome, Submission
from prep.models import Event, Person, Unit
from prep.queries.people import member_named, roles_at, roles_on_record
from prep.record.command import Command, permit
from prep.record.moments import SLACK, Said, not_before
from prep.record.needs import ROLES_THEN
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Actor, Context
from prep.record.struct_errors import checked
from prep.record.unit.commands.joining import JoinUnit

Target = UUID | str | int | None


@dataclass(frozen=True)
class _Call:
    """One call of `perform`. `person` is None where the service itself gives the command."""

    command: Command
    stream: Stream
    target: str
    submission: Submission
    person: Person | None
    actor: Actor
    request: str
    picture: StoredPicture | None = None

    @property
    def said(self) -> Said:
        """When it happened, as a field of the command says it, or else the device."""
        sent = self.submission
        return self.command.dated() or Said(sent.happened, sent.drift)


def perform(
    command: Command,
    *,
    actor: Person | Actor,
    target: Target = None,
    submission: Submission | None = None,
    attachment: bytes | None = None,
) -> Outcome:
    """Carry out a command, or raise Refusal and change nothing.

    `target` is the id of the stream, None for a command that creates one. An Actor instead of a
    Person is the service itself, which holds no role whatever the Actor says, or its console. What
    they may do was decided before; a signature takes a Person.
    """
    command = checked(command)
    submission = submission or Submission()
    stream = STREAMS[command.stream]
    person = None if isinstance(actor, Actor) else actor
    if person is not None and (command.creates or command.signs() or command.attachment):
        # Before a document is parsed, a PIN is tried or a picture is decoded.
        standing = stream.standing(person, str(target or ""), command)
        permit(type(command), standing.roles, own=standing.own)
    to = str(target) if target is not None else stream.new_target(command, submission.id)
    who = actor if isinstance(actor, Actor) else Actor(str(actor.pk), str(actor), frozenset())
    about = "" if command.creates else to
    request = request_digest(command, about, attachment, submission.author)
    call = _Call(command, stream, to, submission, person, who, request)
    if person is not None and command.signs():
        pin: str = command.pin  # type: ignore[attr-defined]  # `signs` says so
        confirm(actor=person, pin=pin, origin=submission.origin)
    if not command.attachment:
        return _attempts(call)
    with stored_picture(attachment, command.attachment) as picture:
        return _attempts(replace(call, picture=picture))


def _attempts(call: _Call) -> Outcome:
    """Carry a command out; once more where another got in between."""
    try:
        return _attempt(call)
    except IntegrityError as collision:
        if _is_the_same_command(call) or _is_a_plate(collision) or _is_a_user_name(collision):
            return _attempt(call)  # another was first: this repeats it, or is refused and says why
        raise _refusal_of(collision) or collision from collision


def _attempt(call: _Call) -> Outcome:
    with transaction.atomic():
        return _carry_out(call)


def _carry_out(call: _Call) -> Outcome:
    facts = LoadedFacts()
    command, kind, stream, to = call.command, type(call.command), call.stream, call.target
    standing = _permitted(call)
    asked = Asked(
        command,
        to,
        standing.site,
        call.person,
        call.submission,
        call.picture,
        standing.zone,
        in_past=call.said.moment is not None,
    )
    lock_sets(sets_read(kind), command.changes)
    facts.load(kind, asked, before_lock=True)
    stream.lock(to, command)
    others = _lock_others(call)
    loaded = stream.load(to)
    if done := _earlier(call, loaded):
        return done
    _check_version(loaded, call.submission)
    who = Actor(call.actor.id, call.actor.name, standing.roles)
    moments = [loaded.recorded, *(other.loaded.recorded for other in others.values())]
    context = context_of(
        call.submission,
        who,
        call.said,
        last=max(filter(None, moments), default=None),
        begun=_begun(call, loaded, others) if asked.in_past else None,
        named=_named(call, standing),
    )
    if command.at_once and context.happened < context.recorded - SLACK:
        raise Refusal("takes-effect-at-once")
    command.guard(loaded.state, context)
    happened = context.happened if asked.in_past else None
    asked = replace(asked, state=loaded.state, happened=happened)
    facts.load(kind, asked, before_lock=False)
    if asked.in_past:
        bounds = [*facts.bounds, *command.bounds(loaded.state)]
        context = replace(context, happened=not_before(context.happened, bounds, call.said))
        _check_role_then(call, standing, context)
    events = list(command.decide(loaded.state, context, facts.values))
    further = command.decide_others(
        {unit: other.loaded.state for unit, other in others.items()}, context, facts.values
    )
    own = Place(stream.name, to, loaded.version, standing.site)
    batches: list[tuple[Place, Sequence[msgspec.Struct]]] = [*facts.events, (own, events)]
    batches += [(others[unit].place, theirs) for unit, theirs in further.items()]
    append(batches, context, call.submission, request=call.request, facts=facts.versions)
    facts.keep()
    stream.apply(loaded, Change(to, command, context, events, standing.site))
    for unit, theirs in further.items():
        UNITS.apply(
            others[unit].loaded, Change(unit, command, context, theirs, others[unit].place.site)
        )
    return Outcome(to, loaded.version, events, False, loaded.state)


def _begun(call: _Call, loaded: Loaded, others: Mapping[str, "_Other"]) -> datetime | None:
    """When the first event happened of the stream, and of each other one that changes with it."""
    begun = [call.stream.begun(call.target, loaded)]
    begun += [UNITS.begun(unit, other.loaded) for unit, other in others.items()]
    return max(filter(None, begun), default=None)


def _named(call: _Call, standing: Standing) -> Actor | None:
    """Whom the device names as the author of an entry; None where that is who sends it.

    Refusal of a name for what nobody does in another's, and of one who does no service at the yard.
    """
    username = call.submission.author
    if not username:
        return None
    if not call.command.by_author or call.command.dated():
        raise Refusal("author-unwanted", field="author")
    named = member_named(username, standing.site)
    if named is None or not named.roles & SERVICE:
        raise Refusal("no-such-author", field="author", author=username)
    return None if named.id == call.actor.id else named


@dataclass(frozen=True)
class _Other:
    """A further stream that a command changes."""

    place: Place
    loaded: Loaded


def _lock_others(call: _Call) -> Mapping[str, _Other]:
    """The further units a command changes, locked in the order of their ids.

    Refusal where the person may not give the command at the site of each.
    """
    if not call.command.others:
        return {}
    joined = call.command.joined if isinstance(call.command, JoinUnit) else None
    which = Q(pk=joined) if joined else Q(buyer=call.target)
    theirs = Unit.objects.select_for_update().filter(which).order_by("pk")
    units = list(theirs.values_list("pk", "site_id"))
    if call.person is not None and joined:
        _check_seen(call.person, units)
    if call.person is not None:
        for site in sorted({site for _, site in units}):
            permit(type(call.command), frozenset(roles_at(call.person, site)), site)
    loaded = {str(unit): (UNITS.load(str(unit)), site) for unit, site in units}
    return {
        unit: _Other(Place(UNITS.name, unit, one.version, site), one)
        for unit, (one, site) in loaded.items()
    }


def _check_seen(person: Person, units: Sequence[tuple[UUID, str]]) -> None:
    """Refuse, as one that does not exist, a unit of a yard where the person holds no role."""
    if not all(roles_at(person, site) for _, site in units):
        raise Refusal("no-such-unit", field="joined")


def _permitted(call: _Call) -> Standing:
    """Where the person stands; Refusal where none of their roles may give the command."""
    if call.person is None:
        _check_given_by_nobody(call)
        return Standing(call.stream.site_of(call.target, call.command), frozenset())
    standing = call.stream.standing(call.person, call.target, call.command)
    permit(type(call.command), standing.roles, own=standing.own)
    return standing


def _check_role_then(call: _Call, standing: Standing, context: Context) -> None:
    """Refuse what somebody had no role for when it happened, as far as the yard's record tells.

    An entry on a sheet is kept instead, and flagged: what was read once cannot be read again.
    """
    kind = type(call.command)
    if call.person is None or not standing.site or ROLES_THEN in kind.needs:
        return
    who = context.named or context.actor
    then = roles_on_record(standing.site, who.id, context.happened)
    if then is not None and not kind.permission.roles & then:
        roles = tuple(sorted(kind.permission.roles))
        raise Refusal("no-role-then", roles=roles, moment=context.happened)


def _check_given_by_nobody(call: _Call) -> None:
    """Refuse to the service what takes a role, and to its console too what a person signs."""
    kind = type(call.command)
    if kind.signs() or (call.actor.id == ITSELF.id and kind.permission.roles):
        permit(kind, frozenset())


def _earlier(call: _Call, loaded: Loaded) -> Outcome | None:
    """Outcome of a command that was carried out before; None for a new one.

    Refusal where its id was used by somebody else, or for something else.
    """
    cause = (
        UNITS.caused_by(loaded, call.submission.id)
        if isinstance(loaded, LoadedUnit)
        else call.stream.caused(call.target, call.submission.id)
    )
    if cause is None:
        return None
    _check_same(call, cause)
    state = call.stream.load(call.target, cause.version).state
    return Outcome(call.target, cause.version, cause.events, True, state)


def _check_same(call: _Call, cause: Cause) -> None:
    if (cause.actor, cause.request) != (call.actor.id, call.request):
        raise Refusal("command-reused")


def _check_version(loaded: Loaded, submission: Submission) -> None:
    if submission.version is not None and submission.version != loaded.version:
        raise Refusal("changed-meanwhile", version=loaded.version)


def _is_the_same_command(call: _Call) -> bool:
    """Whether this person's very command is in the log by now; Refusal where its id is taken."""
    earlier = Event.objects.filter(command=call.submission.id).values_list("actor", "request")
    known = earlier.first()
    if known is not None and known != (call.actor.id, call.request):
        raise Refusal("command-reused")
    return known is not None


def _violated(collision: IntegrityError) -> str:
    """PostgreSQL names the constraint, SQLite its columns; typed text is in neither."""
    diagnosis = getattr(collision.__cause__, "diag", None)
    return diagnosis.constraint_name if diagnosis else str(collision)


def _is_a_plate(collision: IntegrityError) -> bool:
    """Whether another unit has the plate by now."""
    violated = _violated(collision)
    return violated == "unit_serial_once" or violated.endswith("prep_unit.serial_key")


def _is_a_user_name(collision: IntegrityError) -> bool:
    """Whether somebody else has the user name by now."""
    violated = _violated(collision)
    return violated == "prep_person_username_key" or violated.endswith("prep_person.username")


def _refusal_of(collision: IntegrityError) -> Refusal | None:
    """What a violated constraint means to the person; None for one that no two commands meet in."""
    violated = _violated(collision)
    if violated == "event_version_once" or violated.endswith("prep_event.version"):
        return Refusal("changed-meanwhile")
    return None
