"""Pages of every list: each row once, in every order, through an index."""

from collections.abc import Iterator
from typing import Any

import pytest

from prep.models import Unit
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import Asking, asking
from prep.queries.listing.declaration import Listing, Order
from prep.queries.listing.page import _found, _ordered, all_rows, count_of, page_of
from prep.record.refusal import Refusal
from reports.lists.all_lists import LISTS
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few
from tests.queries.plans import plan_without_sorting, sorts
from tests.refusals import refused

pytestmark = pytest.mark.django_db

ORDERS = [(listing, order) for listing in LISTS.values() for order in listing.orders]


def named(given: Any) -> str:
    """A list or an order by its name."""
    return str(given.name)


def in_order(listing: Listing, order: Order) -> Asking:
    """All usual fields of a list in an order."""
    return asking(listing, {}, order=order.name)


def paged(asked: Asking, yard: Yard, limit: int) -> Iterator[dict[str, Any]]:
    """The rows of one page after the other."""
    asker, cursor = asker_of(yard.otto, asked.listing), ""
    while True:
        page = page_of(asked, asker, cursor=cursor, limit=limit)
        assert len(page.rows) <= limit
        yield from page.rows
        if not page.cursor:
            return
        cursor = page.cursor


@pytest.mark.parametrize(("listing", "order"), ORDERS, ids=named)
def test_small_pages_give_the_rows_of_the_whole(yard: Yard, listing: Listing, order: Order) -> None:
    """No row is lost or doubled where a page ends, ties included."""
    with_a_few(yard)
    asked = in_order(listing, order)
    asker = asker_of(yard.otto, listing)
    whole = list(all_rows(asked, asker))
    assert list(paged(asked, yard, 1)) == whole
    assert list(paged(asked, yard, 2)) == whole
    assert len(whole) == count_of(asked, asker)


@pytest.mark.parametrize(("listing", "order"), ORDERS, ids=named)
def test_an_order_is_that_of_an_index(yard: Yard, listing: Listing, order: Order) -> None:
    """A page costs the same wherever it is: the database sorts nothing."""
    with_a_few(yard)
    asked = in_order(listing, order)
    rows = _ordered(_found(asked, asker_of(yard.otto, listing)), listing, order, "")
    bare = rows.model._default_manager.all().order_by(*rows.query.order_by)
    assert not sorts(plan_without_sorting(bare.values("pk")[:50]))


def test_an_order_without_an_index_is_seen_to_be_sorted(yard: Yard) -> None:
    """Negative control of the same."""
    with_a_few(yard)
    rows = Unit.objects.order_by("model_name", "serial", "id")
    assert sorts(plan_without_sorting(rows.values("pk")[:50]))


def test_a_cursor_belongs_to_one_list_and_one_order(yard: Yard) -> None:
    """Taken elsewhere it would leave rows out without a word."""
    with_a_few(yard)
    units, flags = LISTS["units"], LISTS["flags"]
    asker = asker_of(yard.otto, units)
    cursor = page_of(asking(units, {}), asker, limit=1).cursor
    assert cursor
    for asked in (asking(units, {}, order="oldest"), asking(flags, {})):
        refused("cursor-of-another-order", page_of, asked, asker, cursor=cursor)


@pytest.mark.parametrize(
    "cursor", ["x", "WyJ1bml0cyJd", "////", "WzEsMl0", "bnVsbA", "W10", "é", "A" * 3000]
)
def test_a_cursor_that_nobody_gave_out_is_refused(yard: Yard, cursor: str) -> None:
    """Cut, made up, or of another program."""
    units = LISTS["units"]
    with pytest.raises(Refusal, match="cursor"):
        page_of(asking(units, {}), asker_of(yard.otto, units), cursor=cursor)


def test_rows_that_come_meanwhile_do_not_move_a_page(yard: Yard) -> None:
    """A unit received while somebody reads the second page shifts no row onto it."""
    with_a_few(yard)
    units = LISTS["units"]
    asked, asker = asking(units, {}), asker_of(yard.otto, units)
    first = page_of(asked, asker, limit=2)
    before = page_of(asked, asker, cursor=first.cursor, limit=2).rows
    yard.receive()
    assert page_of(asked, asker, cursor=first.cursor, limit=2).rows == before
