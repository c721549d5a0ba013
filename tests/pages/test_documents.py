"""A unit's papers on its page: what each is, how far it is, and what to do when it was not made."""

import hashlib
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.core.files.storage import default_storage

from prep.actions.perform import perform
from prep.models import Photo
from prep.record.unit.commands.releases import ReopenUnit
from reports import queue
from reports.models import DocumentRequest, Remake
from tests.cast import NOT_THE_WORK, Yard
from tests.pages.visitor import Enter, post
from tests.reports.sold_units import (
    buyer_with_address,
    hand_over,
    quick_certificates,
    ready_for,
    sold,
)
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _short(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def path(unit: UUID) -> str:
    """Address of a unit's page."""
    return f"/units/{unit}/"


def test_the_proof_of_issue_is_a_link_beside_the_document(yard: Yard, enter: Enter) -> None:
    """Of the same people; before the log is signed as far, the page says to wait."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    made = DocumentRequest.objects.get(kind="certificate")
    link = f"/documents/{made.pk}/proof"
    visitor = enter(yard.ada)
    assert f'href="{link}"' in visitor.get(path(unit)).content.decode()
    early = visitor.get(link)
    assert (early.status_code, "Try again in a minute." in early.content.decode()) == (409, True)
    queue.catch_up()
    answer = visitor.get(link)
    assert b"".join(answer).startswith(b"c2sp.org/tlog-proof@v1\nextra ")
    assert answer["Content-Disposition"] == 'attachment; filename="certificate.tlog-proof"'
    assert enter(yard.outsider).get(link).status_code == 404


def test_a_paper_that_is_being_made_says_so_and_can_be_stopped_and_made_after_all(
    yard: Yard, enter: Enter
) -> None:
    """By the office; a technician sees where it stands and is refused."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    wanted = DocumentRequest.objects.get(kind="certificate")
    office, technician = enter(yard.mira), enter(yard.ada)
    page = office.get(path(unit)).content.decode()
    assert "<b>Delivery certificate</b>" in page
    assert "Waiting to be created" in page
    assert 'http-equiv="refresh"' in page  # inside <noscript>: with a script the page polls
    assert ">Cancel<" not in technician.get(path(unit)).content.decode()
    stop, retry = (f"/documents/{wanted.pk}/{name}/" for name in ("stop", "retry"))
    refused = post(technician, stop, 409)
    assert "or the person who asked for this document, may do this." in refused
    wanted.refresh_from_db()
    assert wanted.state == "waiting"
    post(office, stop)
    page = office.get(path(unit)).content.decode()
    assert "<p>\n  Canceled\n</p>" in page
    assert 'http-equiv="refresh"' not in page
    assert "no longer being made" in post(office, stop, 409)
    post(office, retry)
    queue.run_due()
    page = office.get(path(unit)).content.decode()
    assert f'href="/documents/{wanted.pk}">Open</a>' in page


def test_a_registration_that_lacks_something_names_it_and_what_to_do(
    yard: Yard, enter: Enter
) -> None:
    """The buyer of the usual cast has no address."""
    unit = yard.ready()
    yard.release(unit)
    before = enter(yard.sol).get(f"/units/{unit}/do/unit.hand-over/").content.decode()
    yard.hand_over(unit)
    queue.catch_up()
    queue.run_due()
    page = enter(yard.sol).get(path(unit)).content.decode()
    for said in (before, page):
        assert "buyer address: Add the buyer&#x27;s mailing address." in said
        assert "<b>handover</b>" not in said
    assert "Document failed" in page
    assert "The registration is missing: buyer address." in page


def test_a_registration_is_made_again_as_the_next_version(yard: Yard, enter: Enter) -> None:
    """The earlier one stays, marked; while one is on its way no further one is offered."""
    unit = sold(yard)
    queue.run_due()
    sales = enter(yard.sol)
    assert "Create the next version" in sales.get(path(unit)).content.decode()
    assert "Create the next version" not in enter(yard.ada).get(path(unit)).content.decode()
    post(sales, f"/units/{unit}/register-again/")
    assert "Create the next version" not in sales.get(path(unit)).content.decode()
    queue.run_due()
    page = sales.get(path(unit)).content.decode()
    made = DocumentRequest.objects.filter(kind="registration").order_by("created")
    assert [request.state for request in made] == ["done", "done"]
    newest, old = page.index(made[1].number), page.index(made[0].number)
    assert newest < page.index("replaced by a newer one") < page.index("Open", old)
    assert page.count("replaced by a newer one") == 1


def test_a_technician_may_not_have_registrations_made(yard: Yard, enter: Enter) -> None:
    """The refusal stands on the unit's page."""
    unit = sold(yard)
    queue.run_due()
    before = DocumentRequest.objects.count()
    page = post(enter(yard.ada), f"/units/{unit}/register-again/", 409)
    assert "Only an administrator, a salesperson or a service manager may do this." in page
    assert DocumentRequest.objects.count() == before


def test_the_certificate_of_a_withdrawn_release_is_marked_as_replaced(
    yard: Yard, enter: Enter
) -> None:
    """Released, re-opened, released again: two certificates, one that stands."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    perform(
        ReopenUnit(reason="A bolt was loose.", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    page = enter(yard.mira).get(path(unit)).content.decode()
    assert page.count("<b>Delivery certificate</b>") == 2
    assert page.count("replaced by a newer one") == 1


def test_a_photo_is_shown_to_who_may_see_its_unit(yard: Yard, enter: Enter) -> None:
    """On the step's page; to nobody else."""
    unit = ready_for(yard, buyer_with_address(yard))
    photo = Photo.objects.get()
    page = enter(yard.rhea).get(f"/units/{unit}/steps/pitch/").content.decode()
    address = f"/photos/{photo.pk}/{photo.small}"
    assert f'src="{address}"' in page
    answer = enter(yard.rhea).get(address)
    assert (answer.status_code, answer["Content-Type"]) == (200, "image/jpeg")
    assert hashlib.sha256(answer.getvalue()).hexdigest() == photo.small
    assert answer["Cache-Control"] == "private, immutable, max-age=31536000"
    again = enter(yard.rhea).get(address, headers={"If-None-Match": answer["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert enter(yard.rhea).get(f"/photos/{photo.pk}/{'0' * 64}").status_code == 404
    assert enter(yard.outsider).get(address).status_code == 404


def test_a_missing_file_is_said_on_the_units_page(yard: Yard, enter: Enter) -> None:
    """And not as a mistake of the service."""
    unit = ready_for(yard, buyer_with_address(yard))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    queue.run_due()
    made = DocumentRequest.objects.get(kind="certificate")
    made.file.storage.delete(str(made.file))
    answer = enter(yard.mira).get(f"/documents/{made.pk}")
    assert answer.status_code == 409
    assert "is gone from the storage. Have it made again" in answer.content.decode()


def test_an_altered_file_is_not_handed_out(yard: Yard, enter: Enter) -> None:
    """Whoever can write to the storage paints over the certificate; nobody here passes it on."""
    unit = ready_for(yard, buyer_with_address(yard))
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    made = DocumentRequest.objects.get(kind="certificate")
    with Path(default_storage.path(str(made.file))).open("ab") as opened:
        opened.write(b"% painted over (invented)")
    answer = enter(yard.mira).get(f"/documents/{made.pk}")
    assert answer.status_code == 409
    said = answer.content.decode()
    assert "is not the one that was issued, and is not handed out. Have it made again" in said


def lost(unit: UUID) -> DocumentRequest:
    """A unit's certificate, made, whose file is gone."""
    queue.run_due()
    request = DocumentRequest.objects.get(unit=unit, kind="certificate")
    Path(default_storage.path(str(request.file))).unlink()
    return request


def test_a_lost_file_is_made_again_by_a_button(yard: Yard, enter: Enter) -> None:
    """The office has it; what became of it stands on the card, and in the history."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    request = lost(unit)
    visitor = enter(yard.mira)
    page = visitor.get(path(unit)).content.decode()
    address = f"/documents/{request.pk}/remake/"
    assert address in page
    post(visitor, address)
    page = visitor.get(path(unit)).content.decode()
    assert "The file was lost. It is being made again." in page
    assert address not in page
    queue.run_due()
    page = visitor.get(path(unit)).content.decode()
    assert "It was made again with the same bytes and put back." in page
    assert f"The file of document {request.number} was lost or damaged" in page
    assert f"The file of document {request.number} is intact" in post(visitor, address, 409)


def test_a_technician_has_no_file_made_again(yard: Yard, enter: Enter) -> None:
    """Neither offered nor done; another yard does not learn that there is such a document."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    request = lost(unit)
    address = f"/documents/{request.pk}/remake/"
    visitor = enter(yard.ada)
    assert address not in visitor.get(path(unit)).content.decode()
    refused = post(visitor, address, 409)
    assert "or the person who asked for this document, may do this." in refused
    assert not Remake.objects.exists()
    post(enter(yard.outsider), address, 404)
    assert not Remake.objects.exists()
