"""The form that corrects a buyer's particulars, and the ways that lead to it."""

import re
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from playwright.sync_api import Browser

from prep.actions.perform import perform
from prep.models import Buyer, Event
from prep.record.buyer.commands import AmendBuyer
from reports import queue
from reports.models import DocumentRequest
from tests.cast import ERASING, Yard
from tests.pages.browser import CHROMIUM, visiting
from tests.pages.visitor import Enter, post
from tests.reports.sold_units import quick_certificates
from tests.stored_files import own_folders

TITLE = "Edit buyer details"


@pytest.fixture(autouse=True)
def _short(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


@pytest.fixture
def sold(yard: Yard) -> UUID:
    """A unit handed over to a buyer without an address; its registration could not be made."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    queue.catch_up()
    queue.run_due()
    return unit


def form(unit: UUID) -> str:
    """Address of the form."""
    return f"/units/{unit}/do/buyer.amend/"


def seen_in(page: str) -> str:
    """What the form says was looked at."""
    found = re.search(r'name="seen" value="([0-9a-f]*)"', page)
    assert found is not None
    return found[1]


def test_the_list_of_what_lacks_leads_to_the_form_and_the_form_to_the_registration(
    yard: Yard, enter: Enter, sold: UUID
) -> None:
    """Opened, filled in, sent: the registration is made, and the history says so."""
    sales = enter(yard.sol)
    page = sales.get(f"/units/{sold}/").content.decode()
    papers = page[page.index('id="papers"') :]
    assert f'href="{form(sold)}">{TITLE}</a>' in papers
    page = sales.get(form(sold)).content.decode()
    assert 'name="name" value="Fen Farm (invented)"' in page
    post(
        sales,
        form(sold),
        seen=seen_in(page),
        name="Fen Farm (invented)",
        address="1 Invented Lane",
        phone="",
        email="",
    )
    queue.catch_up()
    queue.run_due()
    assert DocumentRequest.objects.get(kind="registration").state == "done"
    page = " ".join(sales.get(f"/units/{sold}/").content.decode().split())
    assert "The warranty registration still needs" not in page
    assert "<b>Sol Invented</b> Buyer details corrected." in page


@pytest.mark.browser
@pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium")
def test_sales_adds_the_address_on_a_phone(
    browser: Browser, live_server: Any, yard: Yard, sold: UUID
) -> None:
    """From the list of what lacks to a page that lacks nothing; every page fits phone and desk."""
    with visiting(browser, live_server.url) as visit:
        visit.sign_in(yard.sol)
        visit.go(f"/units/{sold}/")
        visit.is_fit()
        visit.page.locator("#papers").get_by_role("link", name=TITLE).click()
        visit.page.get_by_label("Mailing address").fill("1 Invented Lane")
        visit.page.get_by_label("E-mail").fill("fen")
        visit.press("Save changes")
        visit.sees("Enter a valid e-mail address.")
        visit.is_fit()
        visit.page.get_by_label("E-mail").fill("fen@example.org")
        visit.press("Save changes")
        visit.page.wait_for_url(f"**/units/{sold}/")
        queue.catch_up()
        visit.go(f"/units/{sold}/")
        visit.sees("Waiting to be created")
        assert visit.page.get_by_text("The warranty registration still needs").count() == 0
    assert (Buyer.objects.get().address, Buyer.objects.get().email) == (
        "1 Invented Lane",
        "fen@example.org",
    )


def test_before_the_handover_the_form_is_offered_where_the_address_is_missed(
    yard: Yard, enter: Enter
) -> None:
    """On the form of the handover, and among the unit's commands; to those who may."""
    unit = yard.ready()
    yard.release(unit)
    link = f'href="{form(unit)}"'
    for person, sees in ((yard.sol, True), (yard.ada, False)):
        browser = enter(person)
        for path in (f"/units/{unit}/", f"/units/{unit}/do/unit.hand-over/"):
            assert (link in browser.get(path).content.decode()) is sees
        assert browser.get(form(unit)).status_code == (200 if sees else 404)


def test_what_was_typed_stays_when_somebody_was_faster(
    yard: Yard, enter: Enter, sold: UUID
) -> None:
    """The page says what the buyer is now; sent again with that seen, it counts."""
    sales = enter(yard.sol)
    typed: dict[str, Any] = {
        "name": "Fen Farm (invented)",
        "address": "1 Invented Lane",
        "phone": "",
        "email": "",
    }
    stale = seen_in(sales.get(form(sold)).content.decode())
    perform(AmendBuyer(phone="555 0100"), actor=yard.mira, target=Buyer.objects.get().pk)
    events = Event.objects.count()
    page = post(sales, form(sold), 409, seen=stale, **typed)
    assert "It now says: Fen Farm (invented), 555 0100." in page
    assert "1 Invented Lane</textarea>" in page
    assert Event.objects.count() == events
    assert Buyer.objects.get().address == ""
    post(sales, form(sold), seen=seen_in(page), **{**typed, "phone": "555 0100"})
    now = Buyer.objects.get()
    assert (now.address, now.phone) == ("1 Invented Lane", "555 0100")


def test_an_erased_buyer_and_none_at_all_are_told_on_the_form(
    yard: Yard, enter: Enter, sold: UUID
) -> None:
    """Nothing is filled in beforehand, and nothing is recorded."""
    perform(
        ERASING,
        actor=yard.otto,
        target=Buyer.objects.get().pk,
    )
    sales, events = enter(yard.sol), Event.objects.count()
    typed: dict[str, Any] = {"name": "Fen", "address": "", "phone": "", "email": "", "seen": ""}
    assert TITLE not in sales.get(f"/units/{sold}/").content.decode().split('id="papers"')[1]
    for unit, said in ((sold, "data was erased"), (yard.receive(), "This unit is not sold.")):
        assert 'name="name" value=""' in sales.get(form(unit)).content.decode()
        events = Event.objects.count()
        assert said in post(sales, form(unit), 409, **typed)
        assert Event.objects.count() == events
