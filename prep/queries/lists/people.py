"""The lists of people: the roles they hold at each yard, their accounts, their training cards."""

from datetime import date
from typing import Final

from django.db.models import Exists, OuterRef, Q, QuerySet

from prep.models import Card, Membership, Person
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    Row,
    contains,
    equal,
)
from prep.record.person.card_states import card_state
from prep.record.person.state import Status
from prep.record.roles import Role


def _members(asker: Asker) -> QuerySet[Membership]:
    return Membership.objects.all()


def _works_at(asker: Asker, person: str) -> Exists:
    return Exists(Membership.objects.filter(person=OuterRef(person), site__in=asker.sites))


def _people(asker: Asker) -> QuerySet[Person]:
    return Person.objects.filter(_works_at(asker, "pk"))


def _cards(asker: Asker) -> QuerySet[Card]:
    return Card.objects.filter(_works_at(asker, "person"), withdrawn=False)


def _state(row: Row, asker: Asker) -> str:
    """Of a card on the yard's day; where several yards ask, on the latest of their days."""
    today = date.fromisoformat(max(asker.today.values()))
    return card_state(row["valid_until"], today).value


MEMBERS: Final = Listing(
    name="members",
    table=Membership,
    read="member.view",
    rows=_members,
    site="site_id",
    fields=(
        Field(name="person", kind=Kind.TOKEN, source="person__username"),
        Field(name="name", source="person__printed_name"),
        Field(name="role", kind=Kind.TOKEN),
        Field(name="site", kind=Kind.TOKEN),
    ),
    shown=("name", "person", "role", "site"),
    orders=(Order("site", ("site", "role")),),
    filters=(
        equal("site", Kind.TOKEN),
        equal("role", Kind.TOKEN, choices=tuple(Role)),
    ),
    search=contains("person__username", "person__printed_name"),
)

PEOPLE: Final = Listing(
    name="people",
    table=Person,
    read="person.view",
    rows=_people,
    fields=(
        Field(name="id", kind=Kind.NUMBER),
        Field(name="person", kind=Kind.TOKEN, source="username"),
        Field(name="name", source="printed_name"),
        Field(name="state", kind=Kind.TOKEN, source="status"),
        Field(name="last_sign_in", kind=Kind.MOMENT, source="last_login"),
        Field(name="language", kind=Kind.TOKEN),
        Field(name="units", kind=Kind.TOKEN),
    ),
    shown=("name", "person", "state", "last_sign_in", "language"),
    orders=(Order("name", ("printed_name",)),),
    filters=(
        equal("state", Kind.TOKEN, "status", choices=tuple(s for s in Status if s != Status.NONE)),
    ),
    search=contains("username", "printed_name"),
)

CARDS: Final = Listing(
    name="cards",
    table=Card,
    read="member.view",
    rows=_cards,
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="person", kind=Kind.TOKEN, source="person__username"),
        Field(name="name", source="person__printed_name"),
        Field(name="kind", kind=Kind.TOKEN),
        Field(name="manufacturer"),
        Field(name="valid_until", kind=Kind.DAY),
        Field(name="state", kind=Kind.TOKEN, of_row=_state, reads=("valid_until",)),
    ),
    shown=("name", "kind", "manufacturer", "valid_until", "state"),
    orders=(Order("ends_first", ("valid_until",)),),
    filters=(
        Filter(
            name="ends_before",
            kind=Kind.DAY,
            condition=lambda value, _: Q(valid_until__lt=value),
        ),
    ),
    search=contains("person__username", "person__printed_name", "kind", "manufacturer"),
)
