"""Pages of lists: newest first, by a moment and an id."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Any, NamedTuple

from django.db.models import F, Q, QuerySet

Row = dict[str, Any]


class Moment(NamedTuple):
    """Where a page of a list ended: a moment and the id that settles ties."""

    at: datetime
    id: str


def page_of(
    found: QuerySet[Any],
    moment: str,
    after: Moment | None,
    limit: int,
    columns: Iterable[str],
    joined: Mapping[str, F] = MappingProxyType({}),
) -> list[Row]:
    """Newest first by a moment that is never null, and by id among equals: no row is lost."""
    if after:
        earlier = Q(**{f"{moment}__lt": after.at})
        found = found.filter(earlier | Q(**{moment: after.at, "id__lt": after.id}))
    return list(found.order_by(f"-{moment}", "-id").values(*columns, **joined)[:limit])
