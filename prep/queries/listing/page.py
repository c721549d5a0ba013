"""Pages of a list: the rows after a cursor, in an order that an index of the table has."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from operator import itemgetter
from typing import Any, Final

from django.db.models import BooleanField, F, Func, QuerySet
from django.db.models.lookups import In

from prep.queries.listing.after import after
from prep.queries.listing.asking import Asking
from prep.queries.listing.cursor import columns_of, cursor_after, values_after
from prep.queries.listing.declaration import Asker, Field, Listing, Order, Row

EXPORT_PAGE: Final = 500


class _BesideIndex(Func):
    """A condition that no index is taken for, whose share of the rows the database still knows.

    An expression such as COALESCE keeps from the index as well, but PostgreSQL supposes that it
    holds for one row in two hundred, and sorts those few.
    """

    template = "(%(expressions)s) IS TRUE"
    output_field = BooleanField()


@dataclass(frozen=True)
class ListPage:
    """Rows of a list, and the cursor after the last of them; empty at the end."""

    rows: list[Row]
    cursor: str


def page_of(asking: Asking, asker: Asker, *, cursor: str = "", limit: int = 50) -> ListPage:
    """One page. One query, and one more where the list's permission needs it."""
    listing, order = asking.listing, asking.order
    rows = _ordered(_found(asking, asker), listing, order, cursor)
    stored = list(_selected(rows, asking, asker)[: limit + 1])
    after = ""
    if len(stored) > limit:
        last = stored[limit - 1]
        after = cursor_after(listing, order, [last[name] for name in _marks(listing, order)])
    return ListPage([*map(_show(asking, asker), stored[:limit])], after)


def count_of(asking: Asking, asker: Asker) -> int:
    """How many rows there are on all pages. One query over all of them."""
    return _found(asking, asker).count()


def all_rows(asking: Asking, asker: Asker) -> Iterator[Row]:
    """Every row, read page by page, so that no transaction stays open and no memory grows."""
    cursor = ""
    while True:
        page = page_of(asking, asker, cursor=cursor, limit=EXPORT_PAGE)
        yield from page.rows
        if not page.cursor:
            return
        cursor = page.cursor


def _found(asking: Asking, asker: Asker) -> QuerySet[Any, Any]:
    listing = asking.listing
    conditions = {one.name: one.condition for one in listing.filters}
    rows = _at_sites(listing.rows(asker), asking, asker)
    for name, value in asking.filters.items():
        rows = rows.filter(conditions[name](value, asker))
    if asking.narrowed is not None:
        rows = rows.filter(asking.narrowed)
    if listing.search:
        for word in asking.words:
            rows = rows.filter(listing.search(word, asker))
    return rows


def _at_sites(rows: QuerySet[Any, Any], asking: Asking, asker: Asker) -> QuerySet[Any, Any]:
    """Rows of the asker's sites.

    Of one site there may be an index in this order. Of several the database would take an index of
    the sites and sort all their rows, so the sites are only a test of each row.
    """
    site = asking.listing.site
    if not site:
        return rows
    if len(asker.sites) == 1 and asking.order.by_site:
        return rows.filter(**{site: asker.sites[0]})
    return rows.filter(_BesideIndex(In(F(site), asker.sites)))


def _ordered(
    rows: QuerySet[Any, Any], listing: Listing, order: Order, cursor: str
) -> QuerySet[Any, Any]:
    columns = (*order.columns, listing.key)
    if cursor:
        values = values_after(listing, order, cursor)
        rows = rows.filter(after(columns_of(listing, order), values, descending=order.descending))
    return rows.order_by(*(f"-{name}" if order.descending else name for name in columns))


def _selected(rows: QuerySet[Any, Any], asking: Asking, asker: Asker) -> QuerySet[Any, Any]:
    """The columns shown, under the names they are shown by, and those of the order."""
    known = asking.listing.by_name
    plain: list[str] = []
    renamed: dict[str, Any] = {}
    for name in asking.fields:
        field = known[name]
        if field.computed:
            renamed[f"{name}_"] = field.computed(asker)
        elif field.of_row:
            plain += field.reads
        else:
            plain.append(field.column)
    return rows.values(*plain, *_marks(asking.listing, asking.order), **renamed)


def _marks(listing: Listing, order: Order) -> tuple[str, ...]:
    return (*order.columns, listing.key)


def _show(asking: Asking, asker: Asker) -> Callable[[Row], Row]:
    """What makes a row as it is answered of one as it is stored."""
    makers = [(name, _maker(asking.listing.by_name[name], asker)) for name in asking.fields]
    return lambda row: {name: make(row) for name, make in makers}


def _maker(field: Field, asker: Asker) -> Callable[[Row], Any]:
    of_row, show = field.of_row, field.show
    if of_row:
        return lambda row: of_row(row, asker)
    stored = itemgetter(f"{field.name}_" if field.computed else field.column)
    return (lambda row: show(stored(row), asker)) if show else stored
