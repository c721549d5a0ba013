"""Labels and blank sheets by the pages: asked for where they are needed, listed where asked."""

from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from prep.models import Person
from reports import queue
from reports.models import DocumentRequest
from tests.cast import PASSWORD, Yard
from tests.reports.pdf_tools import words
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Files of a test lie in its folder."""
    own_folders(settings, tmp_path)


def enter(person: Person) -> Client:
    """A browser in which somebody is signed in."""
    client = Client()
    assert client.login(username=person.username, password=PASSWORD)
    return client


def send(client: Client, path: str, **fields: Any) -> Any:
    """Send a kind."""
    return client.post(path, {"command": str(uuid4()), **fields})


def file_of(client: Client, kind: str) -> bytes:
    """The finished file, as its page hands it out."""
    assert queue.run_due() == 1
    request = DocumentRequest.objects.get(kind=kind)
    assert request.failure == ""
    return b"".join(client.get(f"/documents/{request.pk}").streaming_content)  # type: ignore[attr-defined]


def test_a_unit_gets_its_label_from_its_page(yard: Yard) -> None:
    """Size chosen, made, opened."""
    unit, client = yard.receive("LF15-77"), enter(yard.ada)
    page = client.get(f"/units/{unit}/").content.decode()
    assert "A4 sheet of 24, 70 × 37 mm" in page
    assert "Create a blank sheet" not in page  # there is no sheet yet
    path = f"/units/{unit}/print/labels/"
    assert send(client, path, size="roll-50x25", first="1").status_code == 302
    assert "LF15-77" in words(file_of(client, "labels"))
    assert "<b>Labels</b>" in client.get(f"/units/{unit}/").content.decode()


def test_a_started_unit_gets_its_blank_sheet_from_its_page(yard: Yard) -> None:
    """With every step that applies."""
    unit, client = yard.started(), enter(yard.ada)
    assert "Create a blank sheet" in client.get(f"/units/{unit}/").content.decode()
    assert send(client, f"/units/{unit}/print/sheet/").status_code == 302
    assert "Torque the blade bolts" in words(file_of(client, "sheet"))


def test_a_truckload_gets_its_labels_at_once(yard: Yard) -> None:
    """Two of three chosen, from the sixth place on; stopped, and made after all."""
    first, second, _ = (yard.receive(serial) for serial in ("LF-A1", "LF-A2", "LF-A3"))
    client = enter(yard.sol)
    assert 'href="/labels/"' in client.get("/").content.decode()
    page = client.get("/labels/?q=LF-A").content.decode()
    assert page.count('name="units"') == 3
    chosen = {"size": "a4-8", "first": "6", "units": [str(first), str(second)]}
    assert send(client, "/labels/", **chosen)["Location"] == "/labels/"
    assert "Waiting to be created" in client.get("/labels/").content.decode()
    request = DocumentRequest.objects.get()
    for doing in ("stop", "retry"):
        answer = send(client, f"/documents/{request.pk}/{doing}/")
        assert answer["Location"] == "/labels/"
    text = words(file_of(client, "labels"))
    assert ("LF-A1" in text, "LF-A2" in text, "LF-A3" in text) == (True, True, False)
    assert enter(yard.ada).get(f"/documents/{request.pk}").status_code == 404


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"size": ""}, "Choose A4 sheet of 24"),
        ({"first": "9"}, "has only 8"),
        ({"first": "two"}, "“two” is not a valid label position"),
        ({"units": []}, "Choose the units"),
    ],
)
def test_labels_that_cannot_be_made_are_refused_and_the_choice_stays(
    yard: Yard, change: dict[str, Any], says: str
) -> None:
    """The sentence says what to choose; what was ticked stays ticked."""
    unit, client = yard.receive(), enter(yard.ada)
    answer = send(client, "/labels/", **{"size": "a4-8", "units": [str(unit)], **change})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert says in page
    assert ("checked" in page) == ("units" not in change)
    assert not DocumentRequest.objects.exists()


def test_whoever_only_reads_is_not_offered_labels(yard: Yard) -> None:
    """An auditor sees no such page, a stranger no such unit, and another kind is none."""
    unit = yard.started()
    auditor, stranger = enter(yard.rhea), enter(yard.outsider)
    assert auditor.get("/labels/").status_code == 404
    assert "Print labels" not in auditor.get(f"/units/{unit}/").content.decode()
    refused = send(auditor, f"/units/{unit}/print/sheet/")
    assert refused.status_code == 409
    assert "or a technician may do this" in refused.content.decode()
    assert send(stranger, f"/units/{unit}/print/sheet/").status_code == 404
    assert send(enter(yard.ada), f"/units/{unit}/print/audit/").status_code == 404
    assert not DocumentRequest.objects.exists()
