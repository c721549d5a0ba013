"""A request for a list: which fields, filters, words and order, checked against the declaration."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from django.db.models import Q

from prep.queries.listing.declaration import Filter, Kind, Listing, Order
from prep.record.inputs.spelling import day_of, id_of, moment_of
from prep.record.refusal import Refusal

MOST_WORDS: Final = 8
LONGEST: Final = 200  # characters of a search
YES_NO: Final = {"true": True, "false": False}
SPELLED: Final[Mapping[Kind, Callable[[str], Any]]] = {
    Kind.MOMENT: moment_of,
    Kind.DAY: day_of,
    Kind.ID: id_of,
}


@dataclass(frozen=True)
class Asking:
    """What is asked of a list. `narrowed` is a condition of a page's own, beside the filters."""

    listing: Listing
    order: Order
    fields: tuple[str, ...]
    filters: Mapping[str, Any] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    narrowed: Q | None = None


def asking(
    listing: Listing,
    filters: Mapping[str, str],
    *,
    words: str = "",
    order: str = "",
    fields: str = "",
) -> Asking:
    """A request, from what was sent as text; Refusal names what is unknown with what is known.

    Empty values count as not sent, as a form sends them.
    """
    known = {one.name: one for one in listing.filters}
    given = {name: text for name, text in filters.items() if text != ""}
    for name in given:
        if name not in known:
            raise Refusal("no-such-filter", field=name, filter=name, known=tuple(sorted(known)))
    return Asking(
        listing,
        _order(listing, order),
        _fields(listing, fields),
        {name: _value(known[name], text) for name, text in given.items()},
        _words(listing, words),
    )


def _order(listing: Listing, name: str) -> Order:
    orders = {one.name: one for one in listing.orders}
    if not name:
        return listing.orders[0]
    if name not in orders:
        raise Refusal("no-such-order", field="order", order=name, known=tuple(sorted(orders)))
    return orders[name]


def _fields(listing: Listing, text: str) -> tuple[str, ...]:
    """Names of the fields asked for, in that order; the usual ones where none are."""
    names = [name.strip() for name in text.split(",") if name.strip()]
    if not names:
        return tuple(one.name for one in listing.fields if one.usual)
    for name in names:
        if name not in listing.by_name:
            known = tuple(sorted(listing.by_name))
            raise Refusal("no-such-field", field="fields", wanted=name, known=known)
    return tuple(dict.fromkeys(names))


def _words(listing: Listing, text: str) -> tuple[str, ...]:
    words = tuple(text.split())
    if words and listing.search is None:
        raise Refusal("no-search", field="q")
    if len(words) > MOST_WORDS or len(text) > LONGEST:
        raise Refusal("search-too-long", field="q", most=MOST_WORDS)
    return words


def _value(wanted: Filter, text: str) -> Any:
    if wanted.choices and text not in wanted.choices:
        raise Refusal("not-a-choice", field=wanted.name, allowed=wanted.choices)
    if wanted.kind is Kind.YES_NO:
        if text not in YES_NO:
            raise Refusal("not-a-choice", field=wanted.name, allowed=tuple(YES_NO))
        return YES_NO[text]
    if wanted.kind is Kind.NUMBER:
        if not (text.isascii() and text.isdecimal() and len(text) < 10):
            raise Refusal("not-a-count", field=wanted.name, typed=text)
        return int(text)
    if wanted.kind in SPELLED:
        return _converted(wanted, text)
    return text


def _converted(wanted: Filter, text: str) -> Any:
    value = SPELLED[wanted.kind](text)
    if value is None:
        raise _unfit(wanted, text)
    return value


def _unfit(wanted: Filter, text: str) -> Refusal:
    if wanted.kind is Kind.MOMENT:
        return Refusal("moment-unclear", field=wanted.name, typed=text)
    if wanted.kind is Kind.DAY:
        return Refusal("day-unclear", field=wanted.name, typed=text)
    return Refusal("id-unfit", field=wanted.name, typed=text)
