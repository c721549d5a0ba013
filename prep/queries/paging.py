"""Paging of lists by a moment and an id, newest first."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Any, NamedTuple

from django.db.models import F, Q, QuerySet

Row = dict[str, Any]


class Moment(NamedTuple):
    """Where a page ended: the moment and id of its last row. The id settles ties."""

    at: datetime
    id: str


def page_of(
    rows: QuerySet[Any],
    moment: str,
    after: Moment | None,
    limit: int,
    columns: Iterable[str],
    joined: Mapping[str, F] = MappingProxyType({}),
) -> list[Row]:
    """A page of rows after a moment, newest first, and by id where moments are equal.

    `moment` names a column that is never null, so no row is lost between pages.
    """
    if after:
        earlier = Q(**{f"{moment}__lt": after.at})
        rows = rows.filter(earlier | Q(**{moment: after.at, "id__lt": after.id}))
    return list(rows.order_by(f"-{moment}", "-id").values(*columns, **joined)[:limit])
