"""Every document says where anybody checks it, and that address is of its own number."""

import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.test import Client
from pypdf import PdfReader

from reports import queue
from reports.labels.sizes import SIZES
from reports.models import DocumentRequest
from tests.cast import Yard
from tests.reports.pdf_tools import words
from tests.reports.registration_bundles import data_of
from tests.reports.sold_units import made, quick_certificates, saved, sold
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files lie in a folder of the test; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def asked(actor: Any, kind: str, unit: UUID | None, **parameters: Any) -> DocumentRequest:
    """A document that somebody asked for, made."""
    queue.ask(actor=actor, kind=kind, command=uuid4(), unit=unit, parameters=parameters)
    return made(unit, kind)


def readme_in(path: Path) -> str:
    """The README of a bundle."""
    with zipfile.ZipFile(path) as archive:
        (name,) = (one for one in archive.namelist() if one.endswith("/README.txt"))
        return archive.read(name).decode()


def checked_at(document: DocumentRequest) -> str:
    """The address that a document has to state; it is asked, and answers."""
    path = f"/verify/{document.number}"
    assert Client().get(path).status_code == 200
    return f"http://127.0.0.1:8000{path}"


def test_a_registration_says_where_it_is_checked(yard: Yard, tmp_path: Path) -> None:
    """On its form, and in the README of its bundle."""
    bundle = made(sold(yard), "registration")
    path = saved(bundle, tmp_path)
    assert checked_at(bundle) in words(data_of(path)["registration.pdf"])
    assert checked_at(bundle) in readme_in(path)


def test_an_audit_says_where_it_is_checked(yard: Yard, tmp_path: Path) -> None:
    """In its README."""
    yard.started()
    bundle = asked(yard.rhea, "audit", None)
    assert checked_at(bundle) in readme_in(saved(bundle, tmp_path))


def test_a_blank_sheet_says_where_it_is_checked(yard: Yard, tmp_path: Path) -> None:
    """On its first page."""
    sheet = asked(yard.ada, "sheet", yard.started())
    assert checked_at(sheet) in words(saved(sheet, tmp_path).read_bytes())


def test_labels_say_where_they_are_checked(yard: Yard, tmp_path: Path) -> None:
    """In the file's properties; the code on a label leads to its machine."""
    labels = asked(yard.ada, "labels", yard.started(), size=next(iter(SIZES)))
    about = PdfReader(BytesIO(saved(labels, tmp_path).read_bytes())).metadata
    assert about is not None
    assert about.subject == checked_at(labels)


def test_a_verification_says_where_it_is_checked(yard: Yard, tmp_path: Path) -> None:
    """In its report."""
    report = asked(yard.rhea, "verification", None)
    assert checked_at(report).encode() in saved(report, tmp_path).read_bytes()
