"""The list of buyers; erased ones are left out."""

from typing import Final

from django.db.models import Q, QuerySet

from prep.models import Buyer
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


def _rows(asker: Asker) -> QuerySet[Buyer]:
    return Buyer.objects.filter(erased=None)


BUYERS: Final = Listing(
    name="buyers",
    table=Buyer,
    read="buyer.view",
    personal=Personal.BUYER,
    rows=_rows,
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="address"),
        Field(name="phone"),
        Field(name="email"),
        Field(name="held", kind=Kind.YES_NO, show=lambda stored, _: bool(stored)),
    ),
    shown=("name", "address", "phone", "email", "site"),
    orders=(Order("name", ("name",)),),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(
            name="held",
            kind=Kind.YES_NO,
            condition=lambda value, _: ~Q(held="") if value else Q(held=""),
        ),
        Filter(name="name", condition=lambda value, _: Q(name__icontains=value)),
    ),
    search=contains("name", "address", "phone", "email"),
)
