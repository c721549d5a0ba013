"""Paging of lists by cursor, with a Link header to the next page (RFC 8288)."""

import base64
import binascii
from datetime import datetime
from typing import Annotated, Any, Generic, TypeVar
from urllib.parse import urlencode
from uuid import UUID

import msgspec
from rest_framework.request import Request

from api.inputs import Query
from prep.queries.paging import Moment
from prep.record.refusal import Refusal

Limit = Annotated[int, msgspec.Meta(ge=1, le=200, description="How many at most.")]
Cursor = Annotated[
    str, msgspec.Meta(description="Where the page before ended; taken from its `next` link.")
]


class PageQuery(Query, frozen=True, kw_only=True):
    """Query parameters of a paged list."""

    cursor: Cursor = ""
    limit: Limit = 50


T = TypeVar("T")
P = TypeVar("P", bound="Page[Any]")


class Page(msgspec.Struct, Generic[T], frozen=True, kw_only=True):
    """One page of a list. `next` is the address of the page after it, null at the end."""

    items: list[T]
    next: str | None


def page(
    answer: type[P], request: Request, rows: list[dict[str, Any]], limit: int, moment: str
) -> P:
    """A page of `rows`, which hold one more than `limit` where there is a next page.

    `moment` names the column the list is ordered by.
    """
    mark = ""
    if len(rows) > limit:
        last = rows[limit - 1]
        mark = f"{last[moment].isoformat()}|{last['id']}"
    return answer(items=rows[:limit], next=address_after(request, mark))


def address_after(request: Request, mark: str) -> str | None:
    """The address of the page after a mark; None without a mark."""
    if not mark:
        return None
    sent = {**request.query_params.dict(), "cursor": encode(mark)}
    return request.build_absolute_uri(f"{request.path}?{urlencode(sent)}")


def moment_of(cursor: str, row_id: type[UUID] | type[str] = str) -> Moment | None:
    """The moment and row a cursor names: the end of the page before."""
    if not cursor:
        return None
    at, _, row = decode(cursor).partition("|")
    try:
        moment = datetime.fromisoformat(at)
        row_id(row)
    except ValueError:
        raise _unreadable() from None
    if moment.tzinfo is None:
        raise _unreadable()
    return Moment(moment, row)


def encode(text: str) -> str:
    """Encode a mark for a URL. It is not secret."""
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def decode(mark: str) -> str:
    """Decode a mark; Refusal where this API did not make it."""
    try:
        raw = base64.b64decode(mark + "=" * (-len(mark) % 4), b"-_", validate=True)
        text = raw.decode()
    except (binascii.Error, UnicodeDecodeError, ValueError):
        raise _unreadable() from None
    if "\0" in text:
        raise _unreadable()
    return text


def _unreadable() -> Refusal:
    return Refusal("cursor-unfit", field="cursor")
