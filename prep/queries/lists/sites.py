"""The list of sites."""

from typing import Final

from django.db.models import QuerySet

from prep.models import Site
from prep.queries.listing.declaration import Asker, Field, Kind, Listing, Order, contains


def _sites(asker: Asker) -> QuerySet[Site]:
    return Site.objects.filter(code__in=asker.sites)


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
    ),
    shown=("name", "code", "dealer", "time_zone"),
    orders=(Order("name", ("name",)),),
    search=contains("code", "name", "dealer"),
)
