"""A certificate corrected after issue: the new one names the old one, and the old one stays."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.models import Buyer
from prep.record.buyer.commands import AddBuyer
from prep.record.unit.commands.releases import ReopenUnit
from reports import queue
from reports.models import DocumentRequest
from tests import stored_files
from tests.cast import NOT_THE_WORK, Yard, add_buyer
from tests.reports import certificates, sold_units
from tests.reports.certificates import record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced

pytestmark = needs_poppler
WHY = "The buyer's name was misspelt (invented)"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def buyer(yard: Yard, name: str) -> Buyer:
    """A buyer of this name."""
    return add_buyer(AddBuyer(site=yard.site, name=name), actor=yard.sol)


def released_for(yard: Yard, name: str) -> UUID:
    """A unit released for a buyer of this name."""
    unit = sold_units.ready_for(yard, buyer(yard, name), photo=False)
    yard.release(unit)
    return unit


def reopen(yard: Yard, unit: UUID, why: str = WHY) -> None:
    """Mira withdraws the release."""
    perform(ReopenUnit(reason=why, nothing_because=NOT_THE_WORK), actor=yard.mira, target=unit)


def content(request: DocumentRequest) -> bytes:
    """The finished file."""
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def first_page(request: DocumentRequest, folder: Path) -> str:
    """Text of its first page, without white space."""
    return unspaced(pages_of(content(request), folder)[0])


def test_a_misspelt_buyer_is_corrected_by_a_certificate_that_names_the_first(
    yard: Yard, tmp_path: Path
) -> None:
    """Re-opened, meant for the buyer as spelt rightly, released anew: nothing is read again."""
    unit = released_for(yard, "Fenn Farn (invented)")
    first = certificates.only(unit)
    before = content(first)
    assert "replaces" not in first_page(first, tmp_path)
    reopen(yard, unit)
    yard.assign(unit, buyer=buyer(yard, "Fen Farm (invented)"))
    yard.release(unit)
    second = certificates.only(unit)
    assert second.number != first.number
    page = first_page(second, tmp_path)
    assert f"Thiscertificatereplaces{first.number}" in page
    assert unspaced(f"which no longer stands. Reason: {WHY}") in page
    assert "FenFarm(invented)" in page
    assert "FennFarn" not in page
    first.refresh_from_db()
    assert content(first) == before


def test_the_attached_record_names_the_certificate_replaced(yard: Yard) -> None:
    """For machines: its number, by whom and when it was released, and why it went."""
    unit = released_for(yard, "Fen Farm (invented)")
    first = certificates.only(unit)
    reopen(yard, unit)
    yard.release(unit)
    record = record_of_pdf(content(certificates.only(unit)))["certificate"]
    released = record_of_pdf(content(first))["certificate"]["released"]
    assert record["replaces"] == {
        "number": first.number,
        "released": released,
        "why": WHY,
        "nothing_because": NOT_THE_WORK,
        "misread": "",
    }
    assert record_of_pdf(content(first))["certificate"]["replaces"] is None


def test_the_release_for_a_buyer_follows_the_one_for_stock(yard: Yard, tmp_path: Path) -> None:
    """Nothing was wrong with the first; the second still says that it takes its place."""
    unit = yard.prepared()
    yard.release(unit)
    first = certificates.only(unit)
    yard.assign(unit)
    yard.match_tractor(unit)
    yard.release(unit)
    page = first_page(certificates.only(unit), tmp_path)
    assert f"Thiscertificatereplaces{first.number}" in page
    assert "whichthisreleasefollows." in page
    assert "Reason" not in page.partition("Donotuse")[2].partition("readyfor")[0]


def test_each_correction_names_the_one_before_it(yard: Yard) -> None:
    """Corrected twice, the chain leads back to the first."""
    unit = released_for(yard, "Fen Farm (invented)")
    numbers = [certificates.only(unit).number]
    for _ in range(2):
        reopen(yard, unit)
        yard.release(unit)
        made = certificates.only(unit)
        replaced = record_of_pdf(content(made))["certificate"]["replaces"]
        assert replaced["number"] == numbers[-1]
        numbers.append(made.number)
    assert len(set(numbers)) == 3


def test_the_verification_page_of_the_replaced_one_says_so_first(yard: Yard) -> None:
    """Anybody who scans the old QR code is led to the new certificate, and can still compare."""
    unit = released_for(yard, "Fen Farm (invented)")
    first = certificates.only(unit)
    page = Client().get(f"/verify/{first.number}").content.decode()
    assert "Replaced by" not in page
    reopen(yard, unit)
    yard.release(unit)
    second = certificates.only(unit)
    page = Client().get(f"/verify/{first.number}").content.decode()
    told = page.index(f"Replaced by {second.number}. Do not use this one.")
    assert f'href="/verify/{second.number}"' in page[told:]
    assert "Genuine" not in page
    assert WHY.replace("'", "&#x27;") not in page  # somebody typed it, maybe with a name in it
    assert "Replaced by" not in Client().get(f"/verify/{second.number}").content.decode()
    with queue.open_file(first) as opened:
        compared = Client().post(f"/verify/{first.number}", {"file": opened})
    assert "This is exactly the file that was issued." in compared.content.decode()


def test_another_paper_is_no_correction(yard: Yard) -> None:
    """The same release in another size is the same certificate: no second one, nothing replaced."""
    unit = released_for(yard, "Fen Farm (invented)")
    first = certificates.only(unit)
    again = queue.request(
        kind="certificate", cause=first.cause, unit=unit, parameters={"paper": "A4"}
    )
    assert again == first
    queue.run_due()
    assert DocumentRequest.objects.filter(unit=unit, kind="certificate").count() == 1


def test_a_certificate_made_again_after_its_correction_is_the_same_bytes(yard: Yard) -> None:
    """The log has grown since, and the buyer is another; the release of then is not touched."""
    unit = released_for(yard, "Fen Farm (invented)")
    first = certificates.only(unit)
    reopen(yard, unit)
    yard.assign(unit, buyer=buyer(yard, "Someone Else (invented)"))
    yard.release(unit)
    second = certificates.only(unit)
    for made in (first, second):
        assert certificates.built_again(made) == content(made)
