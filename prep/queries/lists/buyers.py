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


def _rows(asker: Asker) -> QuerySet[Buyer]:
    return Buyer.objects.filter(erased=None)


BUYERS: Final = Listing(
    name="buyers",
    table=Buyer,
    read="buyer.view",
    rows=_rows,
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="address"),
        Field(name="phone"),
        Field(name="email"),
    ),
    shown=("name", "address", "phone", "email", "site"),
    orders=(Order("name", ("name",)),),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(name="name", condition=lambda value, _: Q(name__icontains=value)),
    ),
    search=contains("name", "address", "phone", "email"),
)
