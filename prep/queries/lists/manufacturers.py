"""The list of manufacturers."""

from typing import Final

from prep.models import Manufacturer
from prep.queries.listing.declaration import Field, Kind, Listing, Order, contains

MANUFACTURERS: Final = Listing(
    name="manufacturers",
    table=Manufacturer,
    read="model.view",
    rows=lambda asker: Manufacturer.objects.all(),
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="name"),
        Field(name="aliases", kind=Kind.TEXTS),
    ),
    shown=("name", "aliases"),
    orders=(Order("name", ("name",)),),
    search=contains("spellings"),
)
