"""People and the roles they hold."""

from collections.abc import Sequence
from datetime import datetime

from django.db.models import Exists, OuterRef, QuerySet

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


def roles_at(person: Person, site: str) -> list[Role]:
    """Roles a person holds at a site."""
    held = memberships(person).filter(site_id=site)
    return [Role(role) for role in held.values_list("role", flat=True)]


def roles_of(person: Person, site: str) -> frozenset[Role]:
    """Roles given to a person at a site, whether their account is open or not."""
    held = Membership.objects.filter(person=person, site_id=site)
    return frozenset(Role(role) for role in held.values_list("role", flat=True))


def roles_given(person: Person) -> dict[str, frozenset[Role]]:
    """Roles given to a person by site, whether their account is open or not. One query."""
    return _by_site(Membership.objects.filter(person=person))


def yards_of(person: int) -> list[str]:
    """Codes of the sites where a person was given a role, sorted. One query."""
    held = Membership.objects.filter(person=person).order_by("site_id")
    return list(held.values_list("site_id", flat=True).distinct())


def left_alone(person: int, sites: Sequence[str] | None = None) -> list[str]:
    """Names of the sites whose only active administrator is this person, sorted. One query.

    Decided within the named set of members, so that two cannot leave a yard at once.
    """
    active = Membership.objects.filter(role=Role.ADMINISTRATOR.value, person__is_active=True)
    theirs = active.filter(person=person)
    if sites is not None:
        theirs = theirs.filter(site__in=sites)
    others = active.filter(site=OuterRef("site")).exclude(person=person)
    alone = theirs.filter(~Exists(others)).order_by("site__name")
    return list(alone.values_list("site__name", flat=True))


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
    return _by_site(memberships(person))


def _by_site(held: QuerySet[Membership]) -> dict[str, frozenset[Role]]:
    roles_by_site: dict[str, set[Role]] = {}
    for site, role in held.order_by("site_id").values_list("site_id", "role"):
        roles_by_site.setdefault(site, set()).add(Role(role))
    return {site: frozenset(roles) for site, roles in roles_by_site.items()}


def person_named(username: str) -> Person:
    """A person by user name; Refusal where there is none."""
    person = Person.objects.filter(username=username).first()
    if person is None:
        raise Refusal("no-such-person", field="person", username=username)
    return person
