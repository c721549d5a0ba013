"""Accounts as those who may look at them see them: roles, invitation, cards, and what happened."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice

import msgspec
from django.db.models import Q

from prep.models import Card, Event, Invitation, Membership, Person
from prep.queries.people import roles_given, sites_of
from prep.record.log.reference_event import ReferenceEvent
from prep.record.person.state import Opens
from prep.record.reads import permit_read
from prep.record.reference_events import decode
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.events import MemberAdded, MemberRemoved

MOST = 100  # events of a history that are shown


@dataclass(frozen=True)
class SeenAccount:
    """An account, and where whoever looks holds which roles of those yards.

    `everywhere` says that these are all the yards where the person works.
    """

    person: Person
    roles: Mapping[str, frozenset[Role]]
    held: Mapping[str, frozenset[Role]]
    everywhere: bool


@dataclass(frozen=True)
class Happened:
    """What happened to an account: the event, by whom, when, and at which yard."""

    event: ReferenceEvent
    by: str
    recorded: datetime
    site: str


def account_seen(asker: Person, person: int) -> SeenAccount:
    """An account that somebody may look at: their own, or one of a yard where they may.

    Refusal, as of one that does not exist, of anybody else's. Three queries.
    """
    row = Person.objects.filter(pk=person).first()
    roles = roles_given(row) if row else {}
    held = {site: own for site, own in sites_of(asker).items() if site in roles}
    if row is None or not (held or row == asker):
        raise Refusal("no-such-person-id")
    if row != asker:
        permit_read("person.view", frozenset(role for own in held.values() for role in own))
    shown = {site: roles[site] for site in roles if site in held or row == asker}
    return SeenAccount(row, shown, held, everywhere=set(held) == set(roles))


def open_invitation(person: Person) -> Invitation | None:
    """The invitation of a person that was neither used nor withdrawn."""
    return Invitation.objects.filter(person=person, state=Opens.OPEN.value).first()


def cards_of(people: Sequence[int]) -> list[Card]:
    """The training cards of people that were not withdrawn, those that end first in front."""
    cards = Card.objects.filter(person__in=people, withdrawn=False)
    return list(cards.order_by("valid_until", "id"))


def account_history(person: Person, sites: Sequence[str]) -> list[Happened]:
    """What happened to an account, newest first, with its roles at some yards."""
    key = str(person.pk)
    roles = Q(stream="site", stream_id__in=sites, kind__startswith="site.member_")
    about = Q(body__contains=f'"person":"{key}"')
    events = Event.objects.filter(Q(stream="person", stream_id=key) | (roles & about))
    rows = events.order_by("-recorded", "-id").values_list(
        "body", "actor_name", "recorded", "stream", "stream_id"
    )
    found = (_happened(*row) for row in rows.iterator(MOST))
    return list(islice((one for one in found if one and _is_about(one.event, key)), MOST))


def self_given(sites: Sequence[str]) -> list[Happened]:
    """Roles at some yards that people gave themselves, newest first.

    An administrator may; whoever audits should know.
    """
    events = Event.objects.filter(stream="site", stream_id__in=sites, kind="site.member_added")
    rows = events.order_by("-recorded", "-id").values_list(
        "body", "actor_name", "recorded", "stream", "stream_id", "actor"
    )
    found = ((_happened(*row[:5]), row[5]) for row in rows.iterator(MOST))
    given = (one for one, actor in found if one and _is_about(one.event, actor))
    return list(islice(given, MOST))


def staff(sites: Sequence[str]) -> dict[str, dict[Person, list[Role]]]:
    """The people of each of some yards with their roles, sorted by name. One query."""
    held = Membership.objects.filter(site__in=sites).select_related("person")
    people: dict[str, dict[Person, list[Role]]] = {site: {} for site in sites}
    for one in held.order_by("person__printed_name", "person_id", "role"):
        people[one.site_id].setdefault(one.person, []).append(Role(one.role))
    return people


def _happened(
    body: str, by: str, recorded: datetime, stream: str, stream_id: str
) -> Happened | None:
    """An event of a history; None where it cannot be read, which a verification says."""
    try:
        event = decode(body)
    except msgspec.MsgspecError:
        return None
    return Happened(event, by, recorded, stream_id if stream == "site" else "")


def _is_about(event: ReferenceEvent, person: str) -> bool:
    if isinstance(event, MemberAdded | MemberRemoved):
        return event.person == person
    return True
