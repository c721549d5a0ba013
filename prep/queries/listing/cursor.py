"""Where a page of a list ended, as text that only the same list in the same order accepts."""

import base64
import binascii
import json
from collections.abc import Sequence
from typing import Any, Final

from django.core.exceptions import ValidationError

from prep.queries.listing.declaration import Listing, Order
from prep.record.refusal import Refusal

LONGEST: Final = 2000


def cursor_after(listing: Listing, order: Order, values: Sequence[Any]) -> str:
    """The cursor after a row, from the values of its order's columns and its key."""
    columns = columns_of(listing, order)
    stored = [
        column.value_to_string(_Holder(column, value))
        for column, value in zip(columns, values, strict=True)
    ]
    mark = json.dumps([listing.name, order.name, *stored], ensure_ascii=False)
    return base64.urlsafe_b64encode(mark.encode()).decode().rstrip("=")


def values_after(listing: Listing, order: Order, cursor: str) -> list[Any]:
    """The values a cursor stands for; Refusal for one of another list or order, or of nobody's."""
    parts = _decoded(cursor)
    columns = columns_of(listing, order)
    if parts[:2] != [listing.name, order.name] or len(parts) != 2 + len(columns):
        raise Refusal("cursor-of-another-order", field="cursor")
    try:
        return [column.to_python(text) for column, text in zip(columns, parts[2:], strict=True)]
    except (ValidationError, ValueError, OverflowError, TypeError):
        raise Refusal("cursor-unfit", field="cursor") from None


def columns_of(listing: Listing, order: Order) -> list[Any]:
    """The columns of an order, and the key that settles ties."""
    return [listing.table._meta.get_field(name) for name in (*order.columns, listing.key)]


class _Holder:
    """An object with one attribute, of which a field makes text as a serializer does."""

    def __init__(self, column: Any, value: Any) -> None:
        setattr(self, column.attname, value)


def _decoded(cursor: str) -> list[str]:
    try:
        if len(cursor) > LONGEST:
            raise ValueError(cursor)
        raw = base64.b64decode(cursor + "=" * (-len(cursor) % 4), b"-_", validate=True)
        parts = json.loads(raw)
    except (binascii.Error, UnicodeDecodeError, ValueError, RecursionError):
        raise Refusal("cursor-unfit", field="cursor") from None
    texts = [part for part in parts if isinstance(part, str)] if isinstance(parts, list) else []
    if not texts or texts != parts or "\0" in "".join(texts):
        raise Refusal("cursor-unfit", field="cursor")
    return texts
