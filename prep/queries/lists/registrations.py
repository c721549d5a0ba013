"""The list of warranty registrations: units that were handed over."""

from typing import Final

from django.db.models import QuerySet

from prep.models import Unit
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
from prep.queries.lists.units import REGISTRATIONS as STATES
from prep.queries.lists.units import registered, registration_today


def _rows(asker: Asker) -> QuerySet[Unit]:
    return Unit.objects.exclude(registration="not-due")


REGISTRATIONS: Final = Listing(
    name="registrations",
    table=Unit,
    read="desk.view",
    rows=_rows,
    site="site_id",
    fields=(
        Field(name="unit", kind=Kind.ID, source="id"),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="maker"),
        Field(name="serial"),
        Field(name="model_name"),
        Field(name="registration", kind=Kind.TOKEN, computed=registration_today),
        Field(name="registration_due", kind=Kind.DAY),
        Field(name="buyer", kind=Kind.TOKEN),
        Field(name="handed_over", kind=Kind.MOMENT),
    ),
    shown=("serial", "model_name", "registration", "registration_due", "handed_over", "site"),
    orders=(Order("due", ("registration_due",)), Order("serial", ("serial",))),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(name="registration", kind=Kind.TOKEN, choices=STATES[1:], condition=registered),
    ),
    search=contains("serial", "maker", "model_name"),
)
