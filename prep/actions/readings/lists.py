"""Lists as they are shown: what is personal in one is noted, one row for a page or a file."""

from collections.abc import Iterator
from typing import Any, Final

from prep.actions.readings.personal import How, Shown, note
from prep.queries.listing.asking import Asking
from prep.queries.listing.declaration import Asker, Kind, Row
from prep.queries.listing.page import ListPage, all_rows, count_of, page_of
from prep.record.personal import PERSONAL

TYPED: Final = "…"  # stands for what somebody typed to find a person: the note holds no names


def read_page(asking: Asking, asker: Asker, *, cursor: str = "", limit: int = 50) -> ListPage:
    """One page of a list."""
    page = page_of(asking, asker, cursor=cursor, limit=limit)
    if page.rows:
        _note(asking, asker, How.LIST, len(page.rows))
    return page


def read_all(asking: Asking, asker: Asker) -> Iterator[Row]:
    """Every row of a list, to be exported."""
    if _personal(asking):
        _note(asking, asker, How.EXPORT, count_of(asking, asker))
    return all_rows(asking, asker)


def _personal(asking: Asking) -> bool:
    """Whether the fields asked for are personal: the list's permission is that of its data."""
    sort = asking.listing.personal
    return sort is not None and not set(PERSONAL[sort].fields).isdisjoint(asking.fields)


def _note(asking: Asking, asker: Asker, how: How, rows: int) -> None:
    if not _personal(asking):
        return
    shown = Shown(asking.listing.name, how, asker.sites, rows=rows, asked=_asked(asking))
    note(str(asker.person.pk), str(asker.person), shown)


def _asked(asking: Asking) -> dict[str, Any]:
    """The filters, and how many words were searched for."""
    kinds = {one.name: one.kind for one in asking.listing.filters}
    asked: dict[str, Any] = {
        name: TYPED
        if kinds[name] is Kind.TEXT
        else value
        if isinstance(value, bool)
        else str(value)
        for name, value in asking.filters.items()
    }
    return asked | ({"q": len(asking.words)} if asking.words else {})
