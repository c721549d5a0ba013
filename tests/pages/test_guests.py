"""Guests: named units for a time, by a link that works once, and nothing else."""

from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any
from unittest.mock import patch
from uuid import UUID, uuid4

import pytest
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from prep.actions.beside_the_log.guests import open_visit, secret_of
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, Guest, PersonalRead
from prep.record.guest.commands import EndGuest, EraseGuest
from prep.verify.run import verify
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text
from reports import queue
from reports.models import DocumentRequest
from tests.actions.guests import COMPANY, GUEST, admitted, admitting
from tests.actions.kept import texts
from tests.cast import Yard
from tests.pages.visitor import Enter, post
from tests.project.other_yard import one_of_everything, routes
from tests.refusals import refused
from tests.reports.sold_units import BUYER, sold
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def link(guest: Guest) -> str:
    """The address that opens a visit."""
    return f"/visit/{guest.pk}/{secret_of(guest.pk)}"


def on_visit(guest: Guest) -> Client:
    """A browser in which the guest opened the visit."""
    client = Client()
    assert client.get(link(guest)).status_code == 200
    assert client.post(link(guest)).status_code == 302
    return client


def status(client: Client, path: str) -> int:
    """The status of an address; what it answers is read to its end."""
    answer = client.get(path)
    answer.getvalue()
    return answer.status_code


def test_a_guest_sees_the_named_units_and_all_of_it_is_noted(yard: Yard) -> None:
    """The list, a unit with its readings, a document that names nobody."""
    unit, other = yard.prepared(), yard.prepared()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    certificate = DocumentRequest.objects.get(unit=unit)
    guest = admitted(yard, unit)
    client = on_visit(guest)
    shown = client.get(f"/visit/units/{unit}/").content.decode()
    assert "450 ft·lbf" in shown
    assert certificate.number in client.get(f"/visit/units/{unit}/").content.decode()
    assert status(client, f"/visit/documents/{certificate.pk}") == 200
    assert status(client, "/visit/") == 200
    assert status(client, f"/visit/units/{other}/") == 404
    noted = PersonalRead.objects.filter(reader=f"guest:{guest.pk}").order_by("pk")
    assert list(noted.values_list("reader_name", "sort", "subject", "how")) == [
        (COMPANY, "unit", str(unit), "page"),
        (COMPANY, "unit", str(unit), "page"),
        (COMPANY, "file", str(certificate.pk), "document"),
        (COMPANY, "units", "", "page"),
    ]


def test_what_names_the_buyer_does_not_exist_for_a_guest(yard: Yard) -> None:
    """Neither on the page nor at its address: certificate, registration, recipient."""
    unit = sold(yard)
    queue.run_due()
    client = on_visit(admitted(yard, unit))
    shown = client.get(f"/visit/units/{unit}/").content.decode()
    for document in DocumentRequest.objects.filter(unit=unit):
        assert document.number not in shown
        assert status(client, f"/visit/documents/{document.pk}") == 404
    for name in (BUYER, "Wes Fen"):
        assert name not in shown


def test_for_a_guest_there_is_nothing_else(yard: Yard) -> None:
    """Every address of the service, with things of the units' own yard: 404, or closed."""
    things = one_of_everything(yard)
    client = on_visit(Guest.objects.get(pk=things["guest"]))
    more = {"ending": "csv", "kind": "sheet", "language": "en", "name": "units", "number": "C"}
    more |= {"model": "TC-12", "procedure": "p", "rule": "r", "step": "block", "digest": "0" * 64}
    values = {**dict.fromkeys(("code", "tractor", "revision", "size", "secret"), 1), **more}
    values |= {"manufacturer": uuid4(), "site": yard.site, "device": uuid4(), **things}
    public: tuple[str, ...] = ("/sign-", "/healthy", "/alive", "/ready", "/language", "/verify")
    public += ("/script-texts", "/visit", "/about", "/join", "/switch-user")
    public += ("/api/v1/verify", "/api/v1/log/keys", "/api/v1/schema")
    for route in routes():
        path = route.filled({name: values.get(name, uuid4()) for name in route.names})
        if path.startswith(public):
            continue
        if path.startswith("/api/"):
            assert status(client, path) in {401, 404, 405}, path
        else:
            assert status(client, path) in {404, 405}, path


def test_a_link_works_once_and_only_by_its_button(yard: Yard) -> None:
    """Looked at by a mail program it stays; forwarded and used again it is refused."""
    guest = admitted(yard, yard.started())
    for _ in range(3):
        assert Client().get(link(guest)).status_code == 200
    on_visit(guest)
    second = Client()
    assert second.post(link(guest)).status_code == 409
    assert status(second, "/visit/") == 404
    wrong = f"/visit/{guest.pk}/{'0' * 40}"
    assert Client().post(wrong).status_code == 409
    refused("guest-link-unfit", open_visit, uuid4(), "0" * 40)


def test_a_visit_is_over_at_its_time_and_at_once_when_ended(yard: Yard) -> None:
    """Whatever the browser still has."""
    unit = yard.started()
    guest, other = admitted(yard, unit, days=1), admitted(yard, unit, days=30)
    first, second = on_visit(guest), on_visit(other)
    over = guest.until + timedelta(seconds=1)
    with patch.object(timezone, "now", lambda: over):
        assert status(first, "/visit/") == 404
        assert status(second, "/visit/") == 200
    perform(EndGuest(reason="Done (invented)"), actor=yard.mira, target=other.pk)
    assert status(second, "/visit/") == 404
    refused("guest-ended", perform, EndGuest(reason="r"), actor=yard.mira, target=other.pk)
    late = admitted(yard, unit, days=1)
    after = late.until + timedelta(seconds=1)
    with patch.object(timezone, "now", lambda: after):
        refused("guest-link-unfit", open_visit, late.pk, secret_of(late.pk))


def test_who_may_not_admit_does_not_and_nobody_admits_to_anothers_units(yard: Yard) -> None:
    """Managers and administrators, to units of their own yard, for thirty days at most."""
    unit = yard.started()
    for who in (yard.ada, yard.sol, yard.rhea):
        refused("not-allowed", perform, admitting(yard, unit), actor=who)
    refused("no-such-site", perform, admitting(yard, unit), actor=yard.outsider)
    refused("no-such-units", perform, admitting(yard, unit, uuid4()), actor=yard.mira)
    for days in (0, 31):
        refused("input-unfit", perform, admitting(yard, unit, days=days), actor=yard.mira)
    assert not Guest.objects.exists()


def test_the_guests_name_is_not_in_the_log_and_altered_rows_are_found(yard: Yard) -> None:
    """The log has a salted digest; who stretches a visit or adds a unit in the rows is found."""
    same, unit = Submission(), yard.started()
    first = perform(admitting(yard, unit), actor=yard.mira, submission=same)
    assert perform(admitting(yard, unit), actor=yard.mira, submission=same).repeated
    guest = Guest.objects.get(pk=first.target)
    assert GUEST not in "".join(Event.objects.values_list("body", flat=True))
    assert not verify().findings
    for change in (
        {"until": guest.until + timedelta(days=90)},
        {"units": [str(unit), str(uuid4())]},
        {"name": "Somebody else"},
        {"ended": timezone.now()},
    ):
        before = {name: getattr(guest, name) for name in change}
        Guest.objects.update(**change)
        (found,) = verify().findings
        altered = finding_text(found.code, found.values, ENGLISH)
        columns = "digest" if "name" in change else next(iter(change))
        assert altered == f"Altered: guest {guest.pk}; columns: {columns}."
        Guest.objects.update(**before)


def test_the_manager_admits_by_page_and_sees_what_was_opened(yard: Yard, enter: Enter) -> None:
    """By serial numbers as typed; the link is shown until it is used."""
    unit: UUID = yard.started(serial="TC00017")
    manager = enter(yard.mira)
    fields: dict[str, Any] = {
        "site": yard.site,
        "name": GUEST,
        "organization": COMPANY,
        "days": "3",
        "why": "w",
    }
    page = post(manager, "/guests/admit/", 409, serials="TC00099", **fields)
    assert "TC00099" in page
    post(manager, "/guests/admit/", serials="tc-00017", **fields)
    guest = Guest.objects.get()
    shown = manager.get(f"/guests/{guest.pk}/").content.decode()
    assert link(guest) in shown
    status(on_visit(guest), f"/visit/units/{unit}/")
    shown = manager.get(f"/guests/{guest.pk}/").content.decode()
    assert link(guest) not in shown
    assert "Unit, shown to a guest" in shown
    post(manager, f"/guests/{guest.pk}/do/guest.end/", reason="Done (invented)")
    assert Guest.objects.get().ended is not None
    assert enter(yard.ada).get(f"/guests/{guest.pk}/").status_code == 404


def test_the_administrator_erases_the_name_of_a_guest_whose_visit_is_over(
    yard: Yard, enter: Enter
) -> None:
    """Not before, nobody else, once; what the guest opened stays, and verification holds."""
    guest = admitted(yard, yard.prepared())
    client = on_visit(guest)
    assert status(client, "/visit/") == 200
    erase = EraseGuest(reason="A year is over (invented)")
    refused("guest-goes-on", perform, erase, actor=yard.otto, target=guest.pk)
    perform(EndGuest(reason="Done (invented)"), actor=yard.mira, target=guest.pk)
    refused("not-allowed", perform, erase, actor=yard.mira, target=guest.pk)
    office, page = enter(yard.otto), f"/guests/{guest.pk}/"
    assert GUEST in office.get(page).content.decode()
    post(office, f"{page}do/guest.erase/", reason="A year is over (invented)")
    shown = office.get(page).content.decode()
    assert GUEST not in shown
    assert "Guest, name erased" in shown
    assert COMPANY in shown
    refused("guest-erased", perform, erase, actor=yard.otto, target=guest.pk)
    assert PersonalRead.objects.filter(reader=f"guest:{guest.pk}").count() == 1
    assert texts(verify()) == []
    Guest.objects.filter(pk=guest.pk).update(name=GUEST)
    assert texts(verify()) != []  # as a backup from before would have it
    call_command("erase_again", stdout=StringIO())
    assert Guest.objects.get(pk=guest.pk).name == "(erased)"
    assert texts(verify()) == []
