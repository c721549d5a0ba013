"""The list of procedure revisions in force."""

from typing import Final

from prep.models import ProcedureRevision
from prep.queries.listing.declaration import Field, Kind, Listing, Order, contains, equal

PROCEDURES: Final = Listing(
    name="procedures",
    table=ProcedureRevision,
    read="procedure.view",
    rows=lambda asker: ProcedureRevision.objects.all(),
    key="digest",
    fields=(
        Field(name="procedure", kind=Kind.TOKEN),
        Field(name="revision", kind=Kind.NUMBER),
        Field(name="digest", kind=Kind.TOKEN),
        Field(name="title"),
        Field(name="model_codes", kind=Kind.TEXTS),
        Field(name="published", kind=Kind.MOMENT),
    ),
    shown=("procedure", "revision", "title", "model_codes", "published"),
    orders=(
        Order("newest", ("published",), descending=True),
        Order("procedure", ("procedure", "revision")),
    ),
    filters=(equal("procedure", Kind.TOKEN),),
    search=contains("procedure", "title"),
)
