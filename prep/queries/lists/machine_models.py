"""The lists of machine models and of tractors."""

from typing import Final

from prep.models import MachineModel
from prep.queries.listing.declaration import Field, Kind, Listing, Order, contains, equal

_FIELDS: Final = (
    Field(name="code", kind=Kind.TOKEN),
    Field(name="maker"),
    Field(name="name"),
    Field(name="revision", kind=Kind.NUMBER),
)


def _of_sort(name: str, sort: str) -> Listing:
    return Listing(
        name=name,
        table=MachineModel,
        read="model.view",
        rows=lambda asker: MachineModel.objects.filter(sort=sort),
        key="code",
        fields=_FIELDS,
        shown=("code", "name", "maker", "revision"),
        orders=(Order("name", ("name",)), Order("code", ())),
        filters=(equal("maker"),),
        search=contains("code", "maker", "name"),
    )


MODELS: Final = _of_sort("models", "machine")
TRACTORS: Final = _of_sort("tractors", "tractor")
