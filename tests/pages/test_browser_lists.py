"""Lists, exports and imports in a real browser, at a phone's, a tablet's and a desk's width."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from prep.models import Unit
from reports import queue
from reports.lists.all_lists import LISTS
from tests.cast import Yard
from tests.pages.browser import CHROMIUM, Visit, visiting
from tests.queries.listing.yards import with_a_few
from tests.stored_files import own_folders

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


@pytest.fixture
def visit(
    browser: Browser, live_server: Any, yard: Yard, settings: Any, tmp_path: Path
) -> Iterator[Visit]:
    """Somebody with a phone; `is_fit` looks at the same page at a desk, too."""
    own_folders(settings, tmp_path)
    settings.SERVICE = False  # nothing is sent to a broker
    with visiting(browser, live_server.url) as made:
        yield made


def test_an_office_sends_a_list_and_carries_out_what_is_right_in_it(
    visit: Visit, yard: Yard, tmp_path: Path
) -> None:
    """The row that a spreadsheet spoiled is named, and the others are received."""
    file = tmp_path / "arrivals.csv"
    file.write_text(
        "Manufacturer;Serial number;Model\n"
        "Larkfield;TC00031;TC-12\nLarkfield;1.2E+05;TC-12\nLarkfield;TC00032;TC-12\n"
    )
    visit.sign_in(yard.mira)
    visit.page.get_by_role("link", name="Import a list").click()
    visit.page.get_by_label("Units received").check()
    visit.page.get_by_label("File").set_input_files(file)
    visit.is_fit()
    visit.press("Check the file")
    visit.sees("Waiting to be checked")
    queue.run_due()
    visit.sees("The spreadsheet shortened a long number to 1.2E+05.")  # the page looks by itself
    visit.is_fit()
    visit.press("Carry out the other rows")
    visit.sees("Waiting to be carried out")
    queue.run_due()
    visit.sees("2 rows were carried out.")
    visit.is_fit()
    assert sorted(Unit.objects.values_list("serial", flat=True)) == ["TC00031", "TC00032"]


def test_sales_searches_orders_filters_and_exports_a_list(visit: Visit, yard: Yard) -> None:
    """What is shown on the page is what the file holds."""
    units = [yard.receive(serial=serial) for serial in ("TC00041", "TC00042", "TC00051")]
    visit.sign_in(yard.sol)
    visit.page.get_by_role("link", name="Lists").first.click()
    visit.is_fit()
    visit.page.get_by_role("link", name="Units", exact=True).click()
    visit.page.get_by_label("Search").fill("0004")
    visit.page.get_by_label("Order").select_option("oldest")
    visit.press("Show")
    rows = visit.page.locator("table.list tbody tr")
    assert rows.count() == 2
    assert "TC00041" in rows.nth(0).inner_text()
    visit.is_fit()
    with visit.page.expect_download() as download:
        visit.page.get_by_role("link", name="CSV").click()
    lines = Path(download.value.path()).read_text("utf-8-sig").splitlines()
    assert [str(unit) in line for unit, line in zip(units, lines[1:], strict=False)] == [True, True]
    assert len(lines) == 3


def test_every_list_is_fit_at_every_width(visit: Visit, yard: Yard) -> None:
    """With rows in it."""
    with_a_few(yard)
    visit.sign_in(yard.otto)
    for name in LISTS:
        visit.go(f"/lists/{name}/")
        visit.is_fit()
