"""The list of guests."""

from typing import Final

from django.db.models import Q, QuerySet
from django.utils import timezone

from prep.models import Guest
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    contains,
    equal,
)
from prep.record.personal import Personal


def _rows(asker: Asker) -> QuerySet[Guest]:
    return Guest.objects.all()


def _going_on(value: bool, asker: Asker) -> Q:
    """Guests whose visit is neither over nor ended, or the others."""
    going_on = Q(ended=None, until__gt=timezone.now())
    return going_on if value else ~going_on


GUESTS: Final = Listing(
    name="guests",
    table=Guest,
    read="guest.view",
    personal=Personal.GUEST,
    rows=_rows,
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="organization"),
        Field(name="units", kind=Kind.TEXTS),
        Field(name="why"),
        Field(name="until", kind=Kind.MOMENT),
        Field(name="ended", kind=Kind.MOMENT),
        Field(name="opened", kind=Kind.MOMENT),
        Field(name="erased", kind=Kind.MOMENT),
    ),
    shown=("name", "organization", "until", "ended", "opened", "why", "site"),
    orders=(Order("newest", ("until",), descending=True), Order("oldest", ("until",))),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(name="going_on", kind=Kind.YES_NO, condition=_going_on),
    ),
    search=contains("name", "organization"),
)
