"""Photos of units."""

from uuid import UUID

from prep.models import Photo
from prep.record.refusal import Refusal


def photo(key: UUID, unit: UUID | None = None) -> Photo:
    """A photo, of a unit where one is named; Refusal where there is none left. One query."""
    of_unit = {} if unit is None else {"unit": unit}
    row = Photo.objects.filter(pk=key, erased=None, **of_unit).first()
    if row is None:
        raise Refusal("no-such-photo")
    return row
