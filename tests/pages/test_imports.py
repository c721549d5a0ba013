"""The pages of imports: a list is sent, its problems are seen, and it is run."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from prep.models import Person, Unit
from reports import queue
from reports.models import Import, State
from tests.cast import Yard
from tests.pages.visitor import Enter, post
from tests.reports.imports.sent import units


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Nothing is sent to a broker."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    settings.SERVICE = False


def send(client: Client, content: bytes, status: int = 302, **fields: Any) -> str:
    """Send a file by the form; the page that comes back, if one does."""
    file = SimpleUploadedFile(fields.pop("name", "list.csv"), content)
    return post(
        client, "/imports/", status, **{"kind": "units", "site": "north", **fields}, file=file
    )


def page(client: Client, job: Import) -> str:
    """The page of an import."""
    return client.get(f"/imports/{job.pk}/").content.decode()


def test_a_list_is_checked_and_then_carried_out(yard: Yard, enter: Enter) -> None:
    """From the yard's page to the units."""
    client = enter(yard.otto)
    assert 'href="/imports/"' in client.get("/").content.decode()
    send(client, units("00017", "00018"))
    job = Import.objects.get()
    waiting = page(client, job)
    assert "Waiting to be checked" in waiting
    assert "0 of 2 rows." in waiting
    assert "data-poll" in waiting
    queue.run_due()
    checked = page(client, job)
    assert "Checked; nothing was done yet" in checked
    assert "2 rows can be carried out." in checked
    assert "data-poll" not in checked
    post(client, f"/imports/{job.pk}/do/run/")
    post(client, f"/imports/{job.pk}/do/run/")  # a second tap
    queue.run_due()
    assert "2 rows were carried out." in page(client, job)
    assert Unit.objects.count() == 2
    assert "list.csv" in client.get("/imports/").content.decode()


def test_problems_are_shown_in_a_table_and_can_be_skipped(yard: Yard, enter: Enter) -> None:
    """With line, letter and title; the file has them, too."""
    client = enter(yard.otto)
    send(client, units("00017") + b"Larkfield,<b>=1,TC-99\r\n,1.23E+05,TC-12\r\n")
    queue.run_due()
    job = Import.objects.get()
    shown = page(client, job)
    assert "<td>3</td>" in shown
    assert "<td>C Model</td>" in shown
    assert "The spreadsheet shortened a long number to 1.23E+05." in shown
    assert "Carry out all rows" not in shown
    assert "Nothing was done." in post(client, f"/imports/{job.pk}/do/run/", 409)
    assert not Unit.objects.exists()
    file = client.get(f"/imports/{job.pk}/problems.csv")
    assert file["Content-Disposition"] == f'attachment; filename="problems-{job.pk}.csv"'
    assert file.content.decode("utf-8-sig").startswith("Line,Column,Title,Problem\r\n3,C,Model,")
    post(client, f"/imports/{job.pk}/do/skip/")
    queue.run_due()
    assert Unit.objects.get().serial == "00017"


def test_a_file_that_is_no_list_is_refused_on_the_page(yard: Yard, enter: Enter) -> None:
    """The choices stay; nothing is kept of the file."""
    client = enter(yard.otto)
    refused = send(client, b"Serial,Make,<i>Wheels\n1,2,3\n", 409)
    assert "These columns are not known: &lt;i&gt;Wheels." in refused
    assert "checked" in refused
    assert "There is no file." in post(client, "/imports/", 409, kind="units", site="north")
    assert not Import.objects.exists()


def test_an_import_is_stopped_and_goes_on(yard: Yard, enter: Enter) -> None:
    """By its buttons."""
    client = enter(yard.otto)
    send(client, units("00017"))
    job = Import.objects.get()
    post(client, f"/imports/{job.pk}/do/stop/")
    assert "The check was stopped" in page(client, job)
    post(client, f"/imports/{job.pk}/do/resume/")
    queue.run_due()
    job.refresh_from_db()
    assert job.state == State.DONE
    assert "1 row can be carried out." in page(client, job)


def test_each_person_is_offered_what_they_may_import(yard: Yard, enter: Enter) -> None:
    """Sales buyers, technicians units, the office all; an auditor nothing."""

    def offered(person: Person) -> list[str]:
        text = enter(person).get("/imports/").content.decode()
        kinds = ("units", "models", "tractors", "instruments", "buyers")
        return [kind for kind in kinds if f'value="{kind}"' in text]

    assert offered(yard.sol) == ["buyers"]
    assert offered(yard.ada) == ["units"]
    assert offered(yard.mira) == ["units", "models", "tractors", "instruments", "buyers"]
    assert offered(yard.otto) == offered(yard.mira)
    client = enter(yard.rhea)
    assert client.get("/imports/").status_code == 404
    assert 'href="/imports/"' not in client.get("/").content.decode()


def test_somebody_elses_import_is_not_there(yard: Yard, enter: Enter) -> None:
    """Neither its page, nor its problems, nor its buttons."""
    send(enter(yard.otto), units("00017"))
    queue.run_due()
    job = Import.objects.get()
    client = enter(yard.mira)
    assert client.get(f"/imports/{job.pk}/").status_code == 404
    assert client.get(f"/imports/{job.pk}/problems.csv").status_code == 404
    post(client, f"/imports/{job.pk}/do/run/", 404)
    assert not Unit.objects.exists()


def test_a_form_typed_by_somebody_else_runs_nothing(yard: Yard, enter: Enter) -> None:
    """The tablet changed hands."""
    client = enter(yard.otto)
    send(client, units("00017"))
    queue.run_due()
    job = Import.objects.get()
    post(client, f"/imports/{job.pk}/do/run/", 409, typed_by=str(yard.mira.pk))
    queue.run_due()
    assert not Unit.objects.exists()


def test_a_template_is_in_the_readers_language(yard: Yard, enter: Enter) -> None:
    """In both formats; there is no other."""
    yard.otto.language = "fr"
    yard.otto.save()
    client = enter(yard.otto)
    text = client.get("/imports/templates/units.csv").content.decode("utf-8-sig")
    assert text.startswith("Fabricant,Numéro de série,")
    assert client.get("/imports/templates/units.xlsx").content.startswith(b"PK")
    assert client.get("/imports/templates/units.pdf").status_code == 404
    assert client.get("/imports/templates/wheels.csv").status_code == 404
