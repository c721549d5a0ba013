"""Anybody checks a document over the API, and is told what the page tells."""

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
from tests.api.client import Answer, Api
from tests.cast import Yard
from tests.reports.sold_units import made, quick_certificates
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
    return made(unit, "certificate")


def ask(api: Api, number: str, **headers: str) -> Answer:
    """A question for a number, without a token."""
    return api.send("GET", f"verify/{number}", headers=headers, anonymous=True)


def send(api: Api, content: bytes, path: str = "verify", kind: str = "application/pdf") -> Answer:
    """A file sent as the whole body, without a token."""
    return api.send("POST", path, headers={}, content=content, content_type=kind, anonymous=True)


def file_of(document: DocumentRequest) -> bytes:
    """The bytes of a document's file."""
    with queue.open_file(document) as opened:
        return bytes(opened.read())


def test_a_number_is_checked_without_a_token(api: Api, document: DocumentRequest) -> None:
    """In any spelling; the answer is in tokens and in words."""
    answer = ask(api, document.number.lower())
    assert (answer.status, answer.body["standing"]) == (200, "genuine")
    assert answer.body["number"] == document.number
    assert answer.body["document"]["digest"] == document.digest


def test_the_page_says_the_same(
    yard: Yard, api: Api, unit: UUID, document: DocumentRequest
) -> None:
    """Genuine, withdrawn, unknown and misspelled, each in the same sentence."""

    def agree(number: str) -> str:
        answer = ask(api, number).body
        page = Client().get(f"/verify/{number}").content.decode()
        assert answer["sentence"] in page
        assert answer["advice"] in page
        return str(answer["standing"])

    assert agree(document.number) == "genuine"
    perform(
        ReopenUnit(reason="a loose bolt", nothing_because="A slip."), actor=yard.mira, target=unit
    )
    assert agree(document.number) == "withdrawn"
    assert agree(NEVER) == "unknown"
    assert agree(NEVER[:-1]) == "misspelled"


def test_it_answers_in_the_language_asked_for(api: Api, document: DocumentRequest) -> None:
    """As a browser states it."""
    answer = ask(api, document.number, accept_language="es")
    assert answer.body["document"]["title"] == "Certificado de entrega"


def test_a_file_is_known_by_its_bytes(api: Api, document: DocumentRequest) -> None:
    """As the whole body, as a part of a form, and held against a number."""
    content = file_of(document)
    answer = send(api, content)
    assert (answer.status, answer.body["standing"]) == (200, "issued")
    assert answer.body["about"]["number"] == document.number
    assert send(api, content, f"verify?number={document.number}").body["standing"] == "issued"
    other = send(api, content, f"verify?number={NEVER}").body
    assert other["standing"] == "of-another-number"
    form = (
        b'--x\r\nContent-Disposition: form-data; name="file"; filename="a.pdf"\r\n\r\n'
        + content
        + b"\r\n--x--\r\n"
    )
    assert send(api, form, kind="multipart/form-data; boundary=x").body["standing"] == "issued"


def test_another_file_is_unknown(api: Api, document: DocumentRequest) -> None:
    """One byte less; no document is named with it."""
    answer = send(api, file_of(document)[:-1]).body
    assert (answer["standing"], answer["about"]) == ("unknown", None)


def test_a_request_without_a_file_says_so(api: Api, db: None) -> None:
    """Nothing at all, and a form without it."""
    for content, kind in (
        (b"", "application/pdf"),
        (b"--x--\r\n", "multipart/form-data; boundary=x"),
    ):
        answer = send(api, content, kind=kind)
        assert (answer.status, answer.code) == (422, "no-file-sent")


def test_a_file_too_large_is_refused(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    """By what it states, and by what comes."""
    monkeypatch.setattr(limits, "LARGEST", 100)
    answer = send(api, b"x" * 101)
    assert (answer.status, answer.code) == (413, "file-too-large")


def test_who_asks_too_often_waits(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page and the API are counted together."""
    monkeypatch.setattr(limits, "NUMBERS", 2)
    monkeypatch.setattr(limits, "FILES", 1)
    Client().get(f"/verify/{NEVER}")
    assert ask(api, NEVER).status == 200
    refused = ask(api, NEVER)
    assert (refused.status, refused.code) == (429, "too-many-checks")
    assert 1 <= int(refused.headers["Retry-After"]) <= 60
    assert [send(api, b"x").status for _ in range(2)] == [200, 429]


@pytest.mark.parametrize("number", ["C" * 5000, "%F0%9F%9A%9C", "..", "\u0660" * 13])
def test_any_number_is_answered(api: Api, db: None, number: str) -> None:
    """However it is made up."""
    assert ask(api, number).body["standing"] == "misspelled"
