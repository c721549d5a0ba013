"""The lists of sites, and of the people who work there."""

from typing import Final

from django.db.models import QuerySet

from prep.models import Membership, Site
from prep.queries.listing.declaration import Asker, Field, Kind, Listing, Order, contains, equal
from prep.record.roles import Role


def _sites(asker: Asker) -> QuerySet[Site]:
    return Site.objects.filter(code__in=asker.sites)


def _members(asker: Asker) -> QuerySet[Membership]:
    return Membership.objects.all()


SITES: Final = Listing(
    name="sites",
    table=Site,
    read="member.view",
    rows=_sites,
    key="code",
    fields=(
        Field(name="code", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="dealer"),
        Field(name="time_zone", kind=Kind.TOKEN),
        Field(name="street"),
        Field(name="place"),
        Field(name="region"),
        Field(name="postal_code", kind=Kind.TOKEN),
        Field(name="country", kind=Kind.TOKEN),
        Field(name="phone"),
        Field(name="email"),
        Field(name="web"),
    ),
    shown=("name", "code", "dealer", "place", "region", "phone", "time_zone"),
    orders=(Order("name", ("name",)),),
    search=contains("code", "name", "dealer", "place"),
)

PEOPLE: Final = Listing(
    name="people",
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
