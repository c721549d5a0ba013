"""The page on which anybody checks a document: by number in any spelling, or by file."""

import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.record.unit.commands.releases import ReopenUnit
from reports import queue
from reports.document_check import limits
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from tests.cast import Yard
from tests.reports.sold_units import made, quick_certificates, sold
from tests.stored_files import own_folders

NEVER = drawn_number("C", "never")


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files lie in a folder of the test; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A released unit."""
    ready = yard.ready()
    yard.release(ready)
    return ready


@pytest.fixture
def document(unit: UUID) -> DocumentRequest:
    """Its certificate."""
    queue.catch_up()
    done = made(unit, "certificate")
    queue.catch_up()
    return done


def page(path: str, **headers: str) -> str:
    """What a visitor reads who is not signed in."""
    return " ".join(Client().get(path, headers=headers).content.decode().split())


def content(document: DocumentRequest) -> bytes:
    """The bytes of a document's file."""
    with queue.open_file(document) as opened:
        return bytes(opened.read())


def send(path: str, content: bytes, name: str = "file.pdf") -> Any:
    """A file sent from the page."""
    file = BytesIO(content)
    file.name = name
    return Client().post(path, {"file": file})


def test_the_number_is_typed_into_a_field_that_is_ready_for_it(db: None) -> None:
    """Nobody has to know the address of a document."""
    asked = page("/verify")
    assert "Number printed on the document" in asked
    assert "autofocus" in asked
    assert Client().get("/verify").status_code == 200


@pytest.mark.parametrize("spelled", [str.lower, " ".join, "https://x.example/verify/{}".format])
def test_what_is_typed_leads_to_the_one_address(document: DocumentRequest, spelled: Any) -> None:
    """From the field, and from an address spelled otherwise."""
    wanted = f"/verify/{document.number}"
    answer = Client().get("/verify", {"number": spelled(document.number)})
    assert (answer.status_code, answer["Location"]) == (301, wanted)
    if "/" not in spelled(document.number):
        assert Client().get(f"/verify/{spelled(document.number)}")["Location"] == wanted
    assert Client().get(wanted).status_code == 200


def test_a_genuine_document_shows_what_it_is_and_nothing_of_the_buyer(
    document: DocumentRequest,
) -> None:
    """Serial, machine, dealership, yard, file, place in the log."""
    shown = page(f"/verify/{document.number}")
    assert "Genuine: issued by Invented Implements" in shown
    assert f"<title> Delivery certificate {document.number} </title>" in shown
    assert document.digest in shown
    assert "under a signed root of" in shown
    for name in ("Fen Farm", "Mira", "Ada", "Sol"):
        assert name not in shown


def test_a_withdrawn_release_leads_and_nothing_says_genuine(
    yard: Yard, unit: UUID, document: DocumentRequest
) -> None:
    """Not the smallest green."""
    perform(
        ReopenUnit(reason="Mr. Fen complained", nothing_because="A slip."),
        actor=yard.mira,
        target=unit,
    )
    shown = page(f"/verify/{document.number}")
    assert "Withdrawn. Do not rely on this document." in shown
    for word in ("Genuine", "answer big yes", "t-yes", "●", "Mr. Fen"):
        assert word not in shown


def test_an_unknown_number_is_not_to_be_relied_on(yard: Yard) -> None:
    """It is well formed, so it is no typing mistake."""
    answer = Client().get(f"/verify/{NEVER}")
    assert answer.status_code == 404
    assert "No document with this number was issued here." in answer.content.decode()


def test_a_typing_mistake_keeps_what_was_typed_and_names_what_it_may_have_been(
    document: DocumentRequest,
) -> None:
    """Each of them is a link; none is said to exist."""
    number = document.number
    place = next(at for at in range(1, 11) if number[at] != number[at + 1])
    typed = number[:place] + number[place + 1] + number[place] + number[place + 2 :]
    answer = Client().get("/verify", {"number": typed})
    shown = answer.content.decode()
    assert answer.status_code == 404
    assert "There is a typing mistake in this number" in shown
    assert f'href="/verify/{number}"' in shown
    assert f'value="{typed}"' in shown


def test_markup_in_a_number_is_text(db: None) -> None:
    """Neither in the field nor in the answer."""
    shown = Client().get("/verify", {"number": '"><script>alert(1)</script>'}).content.decode()
    assert "<script>alert" not in shown


def test_the_file_that_was_issued_is_known_by_its_bytes(document: DocumentRequest) -> None:
    """On its own page, and without a number."""
    for path in ("/verify", f"/verify/{document.number}"):
        shown = send(path, content(document)).content.decode()
        assert "This is exactly the file that was issued." in shown
        assert "Genuine: issued by Invented Implements" in shown


def test_a_file_of_another_number_is_named(yard: Yard, document: DocumentRequest) -> None:
    """It is genuine, and not what the number says."""
    shown = send(f"/verify/{NEVER}", content(document)).content.decode()
    assert f"This file is another document: {document.number}." in shown


def test_an_issued_file_of_a_withdrawn_release_says_so_too(
    yard: Yard, unit: UUID, document: DocumentRequest
) -> None:
    """The bytes are right, and the machine is not released."""
    perform(
        ReopenUnit(reason="a loose bolt", nothing_because="A slip."), actor=yard.mira, target=unit
    )
    shown = send("/verify", content(document)).content.decode()
    leads = shown.index("Withdrawn. Do not rely on this document.")
    assert leads < shown.index("This is exactly the file that was issued.")
    assert "answer big yes" not in shown


def test_another_file_is_not_to_be_relied_on(document: DocumentRequest) -> None:
    """One byte more."""
    shown = send("/verify", content(document) + b" ").content.decode()
    assert "Do not rely on it." in shown
    assert "exactly the file" not in shown


def test_beside_an_altered_file_nothing_says_genuine(yard: Yard) -> None:
    """What was altered is named, and what was issued is shown without a green mark."""
    bundle = made(sold(yard), "registration")
    target = BytesIO()
    with (
        zipfile.ZipFile(BytesIO(content(bundle))) as old,
        zipfile.ZipFile(target, "w") as new,
    ):
        for name in old.namelist():
            held = old.read(name)
            new.writestr(name, held + b"x" if name.endswith("readings.csv") else held)
    shown = send("/verify", target.getvalue()).content.decode()
    assert "This file is not as it was issued. Do not rely on it." in shown
    assert "data/readings.csv was changed" in shown
    assert bundle.number in shown
    for word in ("Genuine", "answer big yes", "t-yes", "●"):
        assert word not in shown


def test_nothing_of_a_file_is_kept(
    document: DocumentRequest, settings: Any, tmp_path: Path
) -> None:
    """Neither among the files nor among the temporary ones."""
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "uploads"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    settings.FILE_UPLOAD_MAX_MEMORY_SIZE = 10
    before = sorted((tmp_path / "files").rglob("*"))
    send("/verify", b"%PDF-1.7 " + b"x" * 1000)
    assert sorted((tmp_path / "files").rglob("*")) == before
    assert not list(settings.FILE_UPLOAD_TEMP_DIR.iterdir())


def test_a_file_too_large_is_refused_before_it_is_read(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the length that its sender states."""
    monkeypatch.setattr(limits, "LARGEST", 1024**2)
    answer = send("/verify", b"x" * (1024**2 + 1))
    assert answer.status_code == 413
    assert "The file is over 1 MB." in answer.content.decode()


def test_no_file_is_asked_for_again(db: None) -> None:
    """The form sent empty."""
    answer = Client().post("/verify", {})
    assert answer.status_code == 422
    assert "There is no file." in answer.content.decode()


def test_who_asks_too_often_waits(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """By address, numbers and files each by themselves."""
    monkeypatch.setattr(limits, "NUMBERS", 2)
    monkeypatch.setattr(limits, "FILES", 2)
    asked = [Client().get(f"/verify/{NEVER}") for _ in range(3)]
    assert [one.status_code for one in asked] == [404, 404, 429]
    assert 1 <= int(asked[-1]["Retry-After"]) <= 60
    assert "Too many checks at once." in asked[-1].content.decode()
    sent = [send("/verify", b"x").status_code for _ in range(3)]
    assert sent == [200, 200, 429]
    other = Client().get(f"/verify/{NEVER}", REMOTE_ADDR="192.0.2.7")
    assert other.status_code == 404


@pytest.mark.parametrize(
    ("language", "word"), [("es", "Número de serie"), ("fr", "Numéro de série")]
)
def test_it_is_read_in_the_language_of_the_browser(
    document: DocumentRequest, language: str, word: str
) -> None:
    """Whoever holds the document never signed in."""
    assert word in page(f"/verify/{document.number}", **{"accept-language": language})
