"""Every kind of document, lost: made again byte for byte, or stood in for by one that says so."""

import json
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any, Final
from uuid import UUID, uuid4

import pytest
from django.core.files.storage import default_storage
from pypdf import PdfReader

from prep.actions import sealing
from prep.actions.perform import perform
from prep.models import LogKey
from prep.queries import log
from prep.queries.readers import reader_of
from prep.record.person.commands.settings import Prefer
from prep.verify.run import verify
from prep.words.reader import ENGLISH
from reports import queue
from reports.bundles import verifier
from reports.document_check.numbers import check_number
from reports.models import DocumentRequest, Outcome, State
from reports.registry import KINDS
from tests.actions.kept import codes
from tests.cast import Yard
from tests.reports import sold_units
from tests.reports.pdf_tools import words
from tests.stored_files import own_folders

ASKED: Final[dict[str, dict[str, Any]]] = {
    "certificate": {},
    "registration": {},
    "sheet": {},
    "labels": {"size": "a4-24"},
    "audit": {},
    "verification": {},
}
OF_UNITS: Final = frozenset({"certificate", "registration", "sheet", "labels"})


@pytest.fixture
def folders(yard: Yard, settings: Any, tmp_path: Path) -> Yard:
    """The yard, its files and keys in a folder of this test."""
    own_folders(settings, tmp_path)
    return yard


def sold(yard: Yard) -> UUID:
    """A unit handed over, with what its release and handover call for."""
    unit = sold_units.sold(yard)
    sold_units.made(unit, "certificate")
    return unit


def of_kind(yard: Yard, kind: str) -> DocumentRequest:
    """A document of a kind, made."""
    assert set(ASKED) == set(KINDS)
    unit = yard.started() if kind == "sheet" else sold(yard)
    request = queue.ask(
        actor=yard.rhea if kind in {"audit", "verification"} else yard.mira,
        kind=kind,
        command=uuid4(),
        unit=unit if kind in OF_UNITS else None,
        parameters=ASKED[kind],
    )
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.DONE, request.failure
    return request


def lost(request: DocumentRequest) -> bytes:
    """The file is gone; gives what it was."""
    path = Path(default_storage.path(str(request.file)))
    was = path.read_bytes()
    path.unlink()
    return was


def content(request: DocumentRequest) -> bytes:
    """The file as it is handed out."""
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def go_on(yard: Yard) -> None:
    """What happens in a yard after a document was made: none of it may show in it."""
    unit = yard.started()
    yard.block_deck(unit)
    perform(Prefer(language="es"), actor=yard.mira, target=str(yard.mira.pk))
    queue.catch_up()


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"verification"}))
def test_a_lost_document_is_made_again_byte_for_byte(folders: Yard, kind: str) -> None:
    """Whatever was recorded since; the service's own verification finds nothing after it."""
    request = of_kind(folders, kind)
    was = lost(request)
    go_on(folders)
    job = queue.remake(request, folders.mira)
    queue.run_due()
    job.refresh_from_db()
    assert (job.outcome, job.failure) == (Outcome.SAME, "")
    assert content(request) == was
    assert codes(verify()) == []


def moved(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The service has another address and packs bundles another way since."""
    settings.ADDRESS = "https://another.example"
    monkeypatch.setattr("reports.bundles.contents.MADE_BY", "Yardproof, bundle layout 99")


def text_of(kind: str, pdf: bytes) -> str:
    """All that a document says on its face."""
    if kind in {"certificate", "sheet"}:
        return words(pdf)
    if kind == "labels":  # a label has no room
        return str(PdfReader(BytesIO(pdf)).metadata.subject)  # type: ignore[union-attr]  # it has some
    if kind == "verification":
        return str(json.loads(pdf)["stands_in_for"])
    with zipfile.ZipFile(BytesIO(pdf)) as bundle:
        names = [name for name in bundle.namelist() if name.endswith("README.txt")]
        if kind == "audit":
            names += [name for name in bundle.namelist() if name.endswith("index.html")]
        face = [bundle.read(name).decode() for name in names]
        if kind == "registration":
            [form] = [name for name in bundle.namelist() if name.endswith("registration.pdf")]
            face.append(words(bundle.read(form)))
    return "\n---\n".join(face)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_what_cannot_be_made_again_has_one_that_stands_in_and_says_so(
    folders: Yard, kind: str, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On its face, in the log, and on the page of the old number."""
    request = of_kind(folders, kind)
    lost(request)
    moved(settings, monkeypatch)
    job = queue.remake(request, folders.mira)
    queue.run_due()
    job.refresh_from_db()
    assert (job.outcome, job.failure) == (Outcome.STAND_IN, "")
    stand_in = job.stand_in
    assert stand_in is not None
    assert stand_in.state == State.DONE, stand_in.failure
    for part in text_of(kind, content(stand_in)).split("\n---\n"):
        assert f"stands in for {request.number}" in " ".join(part.split())
    assert codes(verify()) == []
    answer = check_number(request.number, ENGLISH)
    assert answer.document is not None
    assert answer.document.replaced_by == stand_in.number
    holds(kind, stand_in)


def holds(kind: str, stand_in: DocumentRequest) -> None:
    """What stands in is checked without the service as any other is."""
    keys = [key.text for key in log.public_keys()]
    findings = verifier.Findings()
    if kind == "certificate":
        verifier.check_certificate(content(stand_in), "", keys, findings)
    elif kind in {"audit", "registration"}:
        path = Path(default_storage.path(str(stand_in.file)))
        verifier.check_bundle(path, keys, findings)
    else:
        return
    assert findings.exit_code == 0, findings.lines


def test_a_certificate_in_the_name_of_an_erased_buyer_is_stood_in_for(
    folders: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is not in the log, and was erased at a person's wish, does not come back."""
    request = of_kind(folders, "certificate")
    lost(request)
    monkeypatch.setattr("reports.certificate.gather.certificate.particulars_of", lambda of: None)
    job = queue.remake(request, None)
    queue.run_due()
    job.refresh_from_db()
    assert job.stand_in is not None
    assert "erased" in words(content(job.stand_in))


def test_with_a_new_key_the_old_one_signs_what_it_signed(folders: Yard) -> None:
    """As long as its private half is there; else another key would not make the same bytes."""
    request = of_kind(folders, "certificate")
    was = lost(request)
    sealing.new_key()
    assert LogKey.objects.count() == 2
    queue.remake(request, None)
    queue.run_due()
    assert content(request) == was


def test_a_bundle_is_not_made_again_around_a_lost_certificate(folders: Yard) -> None:
    """The certificate first; then the bundle comes out as it was."""
    registration = of_kind(folders, "registration")
    certificate = DocumentRequest.objects.get(kind="certificate")
    was = lost(registration)
    lost(certificate)
    job = queue.remake(registration, None)
    queue.run_due()
    job.refresh_from_db()
    assert certificate.number in queue.failure_of(job, reader_of(folders.mira))
    for request in (certificate, registration):
        queue.remake(request, None)
        queue.run_due()
    assert content(registration) == was
