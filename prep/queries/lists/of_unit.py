"""What lists of things that belong to a unit tell of it."""

from typing import Final

from prep.queries.listing.declaration import Field, Kind

OF_UNIT: Final = (
    Field(name="unit", kind=Kind.ID),
    Field(name="site", kind=Kind.TOKEN, source="unit__site"),
    Field(name="maker", source="unit__maker"),
    Field(name="serial", source="unit__serial"),
    Field(name="model_name", source="unit__model_name"),
    Field(name="state", kind=Kind.TOKEN, source="unit__state"),
)
UNIT_SEARCH: Final = ("unit__serial", "unit__model_name")
