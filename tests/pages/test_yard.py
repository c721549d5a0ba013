"""The yard page: sales' three questions, at one look and with many units."""

import html
import re
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from prep.models import Unit
from tests.cast import Yard
from tests.pages.visitor import Enter

# Session, person, memberships, clocks, units, kept counts, the two that depend on more, not taken.
STATEMENTS = 9


def statements(client: object, path: str) -> tuple[int, str]:
    """How many SQL statements a page takes, and the page."""
    with CaptureQueriesContext(connection) as counted:
        page = client.get(path).content.decode()  # type: ignore[attr-defined]  # Django's client
    return len(counted), page


def test_a_sold_unit_that_is_not_ready_names_the_equal_one_that_is(
    yard: Yard, enter: Enter
) -> None:
    """The same model with the same options, ready and free; one with other options is no equal."""
    equal = yard.prepared()
    other = yard.receive(options=["wide tires"])
    sold = yard.started()
    yard.assign(sold)
    page = " ".join(enter(yard.sol).get("/?show=promised").content.decode().split())
    assert f'<a href="/units/{equal}/"> Instead: TC00001, ready,' in page
    assert "sold, in preparation" in page
    shown = enter(yard.sol).get(f"/units/{sold}/").content.decode()
    assert "Same model, ready and not sold:" in shown
    shown = enter(yard.sol).get(f"/units/{other}/").content.decode()
    assert "Same model, ready and not sold:" not in shown


def test_a_unit_that_is_promised_is_offered_to_nobody_else(yard: Yard, enter: Enter) -> None:
    """Ready for stock, but a buyer is assigned."""
    promised = yard.prepared()
    yard.assign(promised)
    yard.started()
    page = enter(yard.sol).get("/").content.decode()
    assert "Instead:" not in page
    assert "sold, not matched to the buyer's tractor yet" in page.replace("&#x27;", "'")


@pytest.mark.parametrize(
    ("show", "serials"),
    [
        ("", {"TC00001", "TC00002", "TC00003"}),
        ("stock", {"TC00001"}),
        ("promised", {"TC00003"}),
        ("not", {"TC00002", "TC00003"}),
        ("buyer", set()),
        ("gone", set()),
        ("flags", set()),
        ("nonsense", {"TC00001", "TC00002", "TC00003"}),
    ],
)
def test_each_narrowing_shows_its_units_and_says_how_many(
    yard: Yard, enter: Enter, show: str, serials: set[str]
) -> None:
    """One ready and free, one in preparation, one sold in preparation."""
    yard.prepared()
    yard.started()
    yard.assign(yard.started())
    page = enter(yard.sol).get("/", {"show": show}).content.decode()
    assert {f"TC0000{n}" for n in (1, 2, 3) if f'/">TC0000{n}</a>' in page} == serials
    assert f'aria-current="page"><b>{len(serials)}</b>' in page


def test_five_hundred_units_take_as_many_statements_as_one(yard: Yard, enter: Enter) -> None:
    """And are paged; no unit is on two pages or on none."""
    yard.prepared()
    client = enter(yard.sol)
    assert statements(client, "/")[0] == STATEMENTS
    row = Unit.objects.values().get()  # index rows alone: 499 sheets would take minutes
    many = [
        Unit(
            **{
                **row,
                "id": uuid4(),
                "serial": f"Z{n:04d}",
                "serial_key": f"Z{n:04d}",
                "received": received(n),
            }
        )
        for n in range(499)
    ]
    Unit.objects.bulk_create(many)
    found: list[UUID] = []
    address = "/"
    while address:
        count, page = statements(client, address)
        assert count == STATEMENTS
        found += [UUID(part[:36]) for part in page.split('class="serial" href="/units/')[1:]]
        following = re.search(r'rel="next" href="([^"]+)"', page)
        address = f"/{html.unescape(following[1])}" if following else ""
    assert len(found) == 500
    assert len(set(found)) == 500


def received(n: int) -> datetime:
    """Some units came off one truck at one moment."""
    return datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=n // 3)
