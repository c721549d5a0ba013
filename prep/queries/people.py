"""People and the roles they hold."""

from datetime import datetime

from django.db.models import Q, QuerySet

from prep.models import Event, Membership, Person
from prep.record.reference_events import decode
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Role
from prep.record.site.events import MemberAdded, MemberRemoved


def actor_at(person: Person, site: str) -> Actor:
    """A person as an actor in the record, with the roles held at a site. One query."""
    return Actor(str(person.pk), str(person), frozenset(roles_at(person, site)))


def memberships(person: Person) -> QuerySet[Membership]:
    """The roles a person holds, at every site or at the one their token is for; none while they
    are suspended. Whoever asks for a person's roles asks here, so that a token narrows them all."""
    held = Membership.objects.filter(person=person, person__is_active=True)
    return held.filter(site_id=person.access.site) if person.access.site else held


def asked_by(person: Person) -> Q:
    """What a person asked for; of the program of one yard, only what it asked for itself."""
    access = person.access
    return Q(person=person, token=access.program) if access.site else Q(person=person)


def roles_at(person: Person, site: str) -> list[Role]:
    """Roles a person holds at a site."""
    held = memberships(person).filter(site_id=site)
    return [Role(role) for role in held.values_list("role", flat=True)]


def roles_on_record(site: str, person: str, moment: datetime) -> frozenset[Role] | None:
    """The roles a person held at a site by what was on record at a moment. Two queries.

    None before the site was opened: then the record does not tell.
    """
    events = Event.objects.filter(stream="site", stream_id=site, recorded__lte=moment)
    if not events.exists():
        return None
    held: set[Role] = set()
    theirs = events.filter(body__contains=person).order_by("version")
    for body in theirs.values_list("body", flat=True):
        match decode(body):
            case MemberAdded() as added if added.person == person:
                held.add(Role(added.role))
            case MemberRemoved() as removed if removed.person == person:
                held.discard(Role(removed.role))
    return frozenset(held)


def member_named(username: str, site: str) -> Actor | None:
    """A person by user name, with the roles held at a site; None where there is none."""
    person = Person.objects.filter(username=username).first()
    return actor_at(person, site) if person else None


def sites_of(person: Person) -> dict[str, frozenset[Role]]:
    """Roles a person holds, by the code of the site. One query."""
    roles_by_site: dict[str, set[Role]] = {}
    held = memberships(person).order_by("site_id")
    for site, role in held.values_list("site_id", "role"):
        roles_by_site.setdefault(site, set()).add(Role(role))
    return {site: frozenset(roles) for site, roles in roles_by_site.items()}


def person_named(username: str) -> Person:
    """A person by user name; Refusal where there is none."""
    person = Person.objects.filter(username=username).first()
    if person is None:
        raise Refusal("no-such-person", field="person", username=username)
    return person
