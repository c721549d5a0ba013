"""The list of instruments."""

from typing import Final

from django.db.models import Q, QuerySet

from prep.models import Instrument
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


def _rows(asker: Asker) -> QuerySet[Instrument]:
    return Instrument.objects.all()


def _past_due(value: bool, asker: Asker) -> Q:
    """Instruments whose calibration is past due today, or the others."""
    past = Q(pk__in=())
    for site, day in asker.today.items():
        past |= Q(site=site, due__lt=day)
    return past & ~Q(due="") if value else ~past | Q(due="")


INSTRUMENTS: Final = Listing(
    name="instruments",
    table=Instrument,
    read="instrument.view",
    rows=_rows,
    site="site_id",
    key="code",
    fields=(
        Field(name="code", kind=Kind.TOKEN),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="kind", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="due", kind=Kind.DAY),
        Field(name="out_of_service"),
    ),
    shown=("code", "name", "kind", "due", "out_of_service", "site"),
    orders=(
        Order("kind", ("kind", "name")),
        Order("due", ("due",)),
        Order("code", ()),
    ),
    filters=(
        equal("site", Kind.TOKEN),
        equal("kind", Kind.TOKEN),
        Filter(
            name="in_service",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(out_of_service="") if value else ~Q(out_of_service=""),
        ),
        Filter(name="past_due", kind=Kind.YES_NO, condition=_past_due),
    ),
    search=contains("code", "kind", "name"),
)
