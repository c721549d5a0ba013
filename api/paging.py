"""Paging of a history by cursor, with a Link header to the next page (RFC 8288)."""

import base64
import binascii
from typing import Annotated, Generic, TypeVar
from urllib.parse import urlencode

import msgspec
from rest_framework.request import Request

from api.inputs import Query
from prep.record.refusal import Refusal

Limit = Annotated[int, msgspec.Meta(ge=1, le=200, description="How many at most.")]
Cursor = Annotated[
    str, msgspec.Meta(description="Where the page before ended; taken from its `next` link.")
]


class PageQuery(Query, frozen=True, kw_only=True):
    """Query parameters of a paged history."""

    cursor: Cursor = ""
    limit: Limit = 50


T = TypeVar("T")


class Page(msgspec.Struct, Generic[T], frozen=True, kw_only=True):
    """One page of a list. `next` is the address of the page after it, null at the end."""

    items: list[T]
    next: str | None


def address_after(request: Request, mark: str) -> str | None:
    """The address of the page after a mark; None without a mark."""
    if not mark:
        return None
    sent = {**request.query_params.dict(), "cursor": encode(mark)}
    return request.build_absolute_uri(f"{request.path}?{urlencode(sent)}")


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
