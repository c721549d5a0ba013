"""The page of a buyer: the details, who looked at them, a hold, and erasure."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from prep.models import Buyer, Event, PersonalRead
from reports import queue
from reports.models import DocumentRequest
from tests.cast import PIN, Yard
from tests.pages.visitor import Enter, post
from tests.reports.sold_units import BUYER, sold
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit handed over, with its documents."""
    made = sold(yard)
    queue.run_due()
    return made


def noted() -> list[tuple[str, str, str]]:
    """Who looked at what, by what, the oldest first."""
    rows = PersonalRead.objects.order_by("pk")
    return list(rows.values_list("reader_name", "sort", "how"))


def test_who_looked_is_shown_to_administrators_and_auditors(
    yard: Yard, enter: Enter, unit: UUID
) -> None:
    """The page, the list and the bundle of the buyer; sales sees the buyer and not who looked."""
    buyer, sales = Buyer.objects.get(), enter(yard.sol)
    assert BUYER in sales.get(f"/buyers/{buyer.pk}/").content.decode()
    sales.get("/lists/buyers/").getvalue()
    sales.get("/lists/buyers/?export=csv").getvalue()
    bundle = DocumentRequest.objects.get(unit=unit, kind="registration")
    assert sales.get(f"/documents/{bundle.pk}").getvalue()[:2] == b"PK"
    expected = [
        ("Sol Invented", "buyer", "page"),
        ("Sol Invented", "buyers", "list"),
        ("Sol Invented", "buyers", "export"),
        ("Sol Invented", "registration", "page"),
    ]
    assert noted() == expected
    assert "Who looked" not in sales.get(f"/buyers/{buyer.pk}/").content.decode()
    for who in (yard.otto, yard.rhea):
        page = enter(who).get(f"/buyers/{buyer.pk}/").content.decode()
        assert "Who looked at this buyer" in page
        assert page.count("Sol Invented") == 5
        assert "Warranty registration" in page


def test_a_technician_gets_neither_the_buyer_nor_what_names_one(
    yard: Yard, enter: Enter, unit: UUID
) -> None:
    """The page says who does; nothing is noted, because nothing was shown."""
    technician = enter(yard.ada)
    assert technician.get(f"/buyers/{Buyer.objects.get().pk}/").status_code == 404
    for document in DocumentRequest.objects.filter(unit=unit):
        answer = technician.get(f"/documents/{document.pk}")
        assert answer.status_code == 409
        assert BUYER not in answer.content.decode()
    page = technician.get(f"/units/{unit}/").content.decode()
    assert page.count("It names the buyer") == 2
    assert noted() == []


def test_the_administrator_holds_lifts_and_erases_by_page(
    yard: Yard, enter: Enter, unit: UUID
) -> None:
    """With reason and PIN; the page says what stands, and in the end that nothing is left."""
    buyer, office = Buyer.objects.get().pk, enter(yard.otto)
    do = f"/buyers/{buyer}/do"
    signed: dict[str, Any] = {"reason": "Court order 7 (invented)", "pin": PIN}
    post(office, f"{do}/buyer.hold/", **signed)
    page = office.get(f"/buyers/{buyer}/").content.decode()
    assert "Court order 7 (invented)" in page
    assert "buyer.erase" not in page
    refused = post(office, f"{do}/buyer.erase/", 409, **signed)
    assert "A legal hold keeps this buyer" in refused
    post(office, f"{do}/buyer.lift-hold/", **signed)
    before = Event.objects.count()
    assert "Wrong PIN" in post(office, f"{do}/buyer.erase/", 409, reason="r", pin="9090")
    assert Event.objects.count() == before
    post(office, f"{do}/buyer.erase/", **signed)
    page = office.get(f"/buyers/{buyer}/").content.decode()
    assert "Erased buyer" in page
    assert BUYER not in page
    queue.catch_up()
    unit_page = enter(yard.mira).get(f"/units/{unit}/").content.decode()
    assert "Its file was erased" in unit_page
    assert enter(yard.sol).get(f"{do}/buyer.hold/").status_code == 404
