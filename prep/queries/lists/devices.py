"""The list of devices."""

from typing import Final

from django.db.models import Q

from prep.models import Device
from prep.queries.listing.declaration import Field, Filter, Kind, Listing, Order, contains, equal

DEVICES: Final = Listing(
    name="devices",
    table=Device,
    read="device.view",
    rows=lambda asker: Device.objects.all(),
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="name"),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="enrolled", kind=Kind.MOMENT),
        Field(name="enrolled_by"),
        Field(name="contact", kind=Kind.MOMENT),
        Field(name="unsent", kind=Kind.NUMBER),
        Field(name="revoked", kind=Kind.MOMENT),
    ),
    shown=("name", "contact", "unsent", "enrolled", "enrolled_by", "revoked", "site"),
    orders=(Order("name", ("name",), by_site=True),),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(
            name="in_use",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(revoked=None) if value else Q(revoked__isnull=False),
        ),
    ),
    search=contains("name"),
)
