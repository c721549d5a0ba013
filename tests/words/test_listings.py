"""Lists have words: titles, and names of their fields, filters and orders."""

from prep.words.listings import NAMES, TITLES
from reports.lists.all_lists import LISTS


def test_every_list_has_a_title() -> None:
    """And no title is of a list there is not."""
    assert set(TITLES) == set(LISTS)


def test_every_field_filter_and_order_has_a_name() -> None:
    """Those of its own list first; no name is left over."""
    wanted = {
        (listing.name, name)
        for listing in LISTS.values()
        for name in (
            *(one.name for one in listing.fields),
            *(one.name for one in listing.filters),
            *(one.name for one in listing.orders),
        )
    }
    used = set()
    for listing, name in wanted:
        own = f"{listing} {name}"
        assert own in NAMES or name in NAMES, own
        used.add(own if own in NAMES else name)
    assert set(NAMES) == used


def test_a_page_shows_fields_that_the_list_has() -> None:
    """The first of them names the row."""
    for listing in LISTS.values():
        assert set(listing.shown) <= set(listing.by_name), listing.name
