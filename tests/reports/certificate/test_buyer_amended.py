"""A buyer corrected after the handover: the registration is completed, what was issued stays."""

import json
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.models import Buyer
from prep.queries.records import record_of
from prep.record.buyer.commands import AmendBuyer
from reports import queue
from reports.models import DocumentRequest, State
from reports.registration import document
from tests.cast import Yard
from tests.reports import certificates
from tests.reports.registration_bundles import data_of, published_key, resend, verdict
from tests.reports.sold_units import (
    ADDRESS,
    BUYER,
    buyer_with_address,
    hand_over,
    made,
    quick_certificates,
    ready_for,
    saved,
    sold,
)
from tests.stored_files import own_folders

CORRECTED = "Fen & Son Farm (invented)"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def amend(yard: Yard, **particulars: str) -> Buyer:
    """Sol corrects the only buyer there is; the log is read on."""
    perform(AmendBuyer(**particulars), actor=yard.sol, target=Buyer.objects.get().pk)
    queue.catch_up()
    return Buyer.objects.get()


def sold_without_address(yard: Yard) -> UUID:
    """A unit handed over to a buyer whom the post does not find; its documents are asked for."""
    unit = ready_for(yard, buyer_with_address(yard, address=""))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    return unit


def content(request: DocumentRequest) -> bytes:
    """The finished file."""
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def form_of(request: DocumentRequest, folder: Path) -> dict[str, Any]:
    """The registration form in a bundle."""
    found: dict[str, Any] = json.loads(data_of(saved(request, folder))["registration.json"])
    return found


def test_a_registration_without_an_address_is_completed_after_the_handover_and_made(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody retries it: the correction does. The bundle holds it, and verifies."""
    quick_certificates(monkeypatch)
    unit = sold_without_address(yard)
    failed = made(unit, "registration")
    assert failed.state == State.FAILED
    assert list(document.missing(unit)) == ["buyer address"]
    buyer = amend(yard, address=ADDRESS)
    assert document.missing(unit) == ()
    first = made(unit, "registration")
    assert (first.pk, first.state, first.failure) == (failed.pk, State.DONE, "")
    form = form_of(first, tmp_path)
    assert (form["version"], form["buyer"]["address"]) == (1, ADDRESS)
    events = data_of(saved(first, tmp_path))["events.jsonl"].splitlines()
    told = [json.loads(line) for line in events]
    [logged] = [event for event in told if event["kind"] == "unit.buyer_amended"]
    assert logged["body"]["buyer"]["digest"] == form["buyer"]["digest"] == buyer.digest()
    assert verdict(saved(first, tmp_path), published_key()).exit_code == 0


def test_a_registration_made_stays_as_it_was_and_the_next_version_is_corrected(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first, made again after two corrections, has the same bytes."""
    quick_certificates(monkeypatch)
    unit = sold_without_address(yard)
    amend(yard, address=ADDRESS)
    first = made(unit, "registration")
    before = content(first)
    amend(yard, name=CORRECTED)
    second = resend(actor=yard.sol, unit=unit)
    queue.run_due()
    amend(yard, phone="555 0100")
    assert document.build(first, lambda done, total: None).path.read_bytes() == before
    again = DocumentRequest.objects.get(pk=second.pk)
    assert document.build(again, lambda done, total: None).path.read_bytes() == content(second)
    told = [form_of(request, tmp_path)["buyer"] for request in (first, again)]
    assert [(buyer["name"], buyer["phone"]) for buyer in told] == [(BUYER, ""), (CORRECTED, "")]
    assert told[0]["salt"] != told[1]["salt"]
    assert DocumentRequest.objects.filter(unit=unit, kind="registration").count() == 2


def test_one_that_could_not_be_made_before_holds_what_was_corrected_meanwhile(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The certificate was stopped, so it waited; nobody wants the old name in it then."""
    quick_certificates(monkeypatch)
    unit = sold(yard)
    certificate = DocumentRequest.objects.get(kind="certificate")
    queue.cancel(certificate)
    assert made(unit, "registration").state == State.FAILED
    queue.retry(certificate)
    amend(yard, name=CORRECTED)
    assert form_of(made(unit, "registration"), tmp_path)["buyer"]["name"] == CORRECTED


def test_a_certificate_made_again_keeps_the_name_it_was_issued_with(yard: Yard) -> None:
    """Byte for byte: it says for whom the machine was released then."""
    unit = ready_for(yard, buyer_with_address(yard), photo=False)
    yard.release(unit)
    issued = certificates.only(unit)
    before = content(issued)
    assert certificates.record_of_pdf(before)["certificate"]["unit"]["buyer"] == BUYER
    amend(yard, name=CORRECTED)
    assert certificates.built_again(issued) == before
    release = record_of(unit).release
    assert release is not None
    assert release.withdrawn is None


def test_a_release_after_the_correction_is_certified_under_the_corrected_name(yard: Yard) -> None:
    """The correction came first."""
    unit = ready_for(yard, buyer_with_address(yard), photo=False)
    amend(yard, name=CORRECTED)
    yard.release(unit)
    record = certificates.record_of_pdf(content(certificates.only(unit)))
    assert record["certificate"]["unit"]["buyer"] == CORRECTED
