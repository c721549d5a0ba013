"""A certificate in another language: a document of its own beside the one a release makes."""

import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pikepdf
import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.models import Person
from prep.queries import log
from prep.record.unit.commands.releases import ReopenUnit
from reports import queue
from reports.bundles import verifier
from reports.models import DocumentRequest
from tests import stored_files
from tests.cast import NOT_THE_WORK, Yard
from tests.pages.visitor import post, signed_in
from tests.refusals import refused
from tests.reports import certificates, sold_units
from tests.reports.certificates import record_of_pdf
from tests.reports.pdf_tools import verdict, words


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit released for its buyer, with one of each thing a certificate tells of."""
    unit = certificates.with_everything(yard)
    yard.release(unit)
    queue.catch_up()
    return unit


def ask(person: Person, unit: UUID, **parameters: str) -> DocumentRequest:
    """Ask for a certificate."""
    return queue.ask(
        actor=person, kind="certificate", command=uuid4(), unit=unit, parameters=parameters
    )


def made(request: DocumentRequest) -> DocumentRequest:
    """A request, its document made."""
    queue.run_due()
    request.refresh_from_db()
    assert request.state == "done", request.failure
    return request


def content(request: DocumentRequest) -> bytes:
    """The finished file."""
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def released_again(yard: Yard, unit: UUID) -> None:
    """Mira withdraws the release, and releases once more."""
    perform(
        ReopenUnit(reason="a misspelt name (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    yard.release(unit)
    queue.catch_up()


def test_it_has_its_own_number_and_replaces_nothing(yard: Yard, unit: UUID) -> None:
    """Asked for twice it is one, and the English one stays what it was."""
    spanish = made(ask(yard.ada, unit, language="es"))
    english = made(DocumentRequest.objects.get(unit=unit, cause=spanish.cause.partition("/")[0]))
    french = made(ask(yard.sol, unit, language="fr"))
    assert ask(yard.ben, unit, language="es") == spanish
    assert len({spanish.number, english.number, french.number}) == 3
    assert [one.cause.partition("/")[2] for one in (english, spanish, french)] == ["", "es", "fr"]
    assert {one.replaces for one in (english, spanish, french)} == {None}


@pytest.mark.parametrize("parameters", [{}, {"language": ""}, {"language": "en"}])
def test_in_english_it_is_the_one_the_release_made(
    yard: Yard, unit: UUID, parameters: dict[str, str]
) -> None:
    """Whether English is asked for by name or not at all."""
    by_itself = DocumentRequest.objects.get(unit=unit)
    assert ask(yard.ada, unit, **parameters) == by_itself


def test_an_unknown_language_is_refused(yard: Yard, unit: UUID) -> None:
    """By the field; nothing is asked for."""
    refusal = refused("no-such-language", ask, yard.ada, unit, language="de")
    assert refusal.field == "language"
    assert DocumentRequest.objects.filter(unit=unit).count() == 1


def test_what_we_say_is_in_its_language_and_what_is_a_token_in_none(yard: Yard, unit: UUID) -> None:
    """Verdicts, months and metadata in Spanish; what people typed as it is; the same record."""
    english = made(DocumentRequest.objects.get(unit=unit))
    pdf = content(made(ask(yard.ada, unit, language="es")))
    assert verdict(pdf) == "pass"
    with pikepdf.open(BytesIO(pdf)) as opened:
        assert str(opened.Root.Lang) == "es"
    text = words(pdf)
    assert "dentro de límite" in text or "dentro del límite" in text
    assert "in limit (conforming)" not in text
    assert "Agreed with the maker (invented)" in text
    spanish, other = (record_of_pdf(one)["certificate"] for one in (pdf, content(english)))
    assert (spanish["language"], other["language"]) == ("es", "en")
    for same in ("released", "unit", "sheet", "damage", "shortages"):
        assert spanish[same] == other[same]
    steps = [
        [
            (step["status"], step["signed"])
            for section in one["sections"]
            for step in section["steps"]
        ]
        for one in (spanish, other)
    ]
    assert steps[0] == steps[1]


def test_it_is_the_same_bytes_when_it_is_made_again(yard: Yard, unit: UUID) -> None:
    """In Spanish, as in English."""
    spanish = made(ask(yard.ada, unit, language="es"))
    assert certificates.built_again(spanish) == content(spanish)


def test_it_verifies_like_the_english_one(yard: Yard, unit: UUID) -> None:
    """By the page its QR code leads to, and by the verifier that needs no service."""
    spanish = made(ask(yard.ada, unit, language="es"))
    page = Client().get(f"/verify/{spanish.number}").content.decode()
    assert f"<title> Delivery certificate {spanish.number} </title>" in " ".join(page.split())
    translated = Client().get(f"/verify/{spanish.number}", headers={"accept-language": "es"})
    assert "Certificado de entrega" in translated.content.decode()
    assert "Genuine: issued by Invented Implements" in page
    with queue.open_file(spanish) as opened:
        compared = Client().post(f"/verify/{spanish.number}", {"file": opened})
    assert "This is exactly the file that was issued." in compared.content.decode()
    findings = verifier.Findings()
    keys = [key.text for key in log.public_keys()]
    verifier.check_certificate(content(spanish), spanish.digest, keys, findings)
    assert (findings.exit_code, len(findings.lines)) == (0, 7)


def test_each_language_has_its_own_succession(yard: Yard, unit: UUID) -> None:
    """A Spanish one replaces the Spanish one before it, an English one the English one."""
    first = {"": made(DocumentRequest.objects.get(unit=unit))}
    first["es"] = made(ask(yard.ada, unit, language="es"))
    released_again(yard, unit)
    page = signed_in(yard.mira).get(f"/units/{unit}/").content.decode()
    assert page.count("replaced by a newer one") == 0  # the new one is not made yet
    english = made(DocumentRequest.objects.filter(unit=unit).latest("created"))
    french = made(ask(yard.ada, unit, language="fr"))
    page = signed_in(yard.mira).get(f"/units/{unit}/").content.decode()
    assert page.count("replaced by a newer one") == 1  # the English one
    spanish = made(ask(yard.ada, unit, language="es"))
    assert (english.replaces, spanish.replaces) == (first[""], first["es"])
    assert french.replaces is None
    replaced = record_of_pdf(content(spanish))["certificate"]["replaces"]
    assert replaced["number"] == first["es"].number
    page = signed_in(yard.mira).get(f"/units/{unit}/").content.decode()
    assert page.count("replaced by a newer one") == 2


def test_the_registration_takes_the_one_the_release_made(yard: Yard) -> None:
    """Also where a translated one is newer."""
    unit = sold_units.ready_for(yard, sold_units.buyer_with_address(yard))
    yard.release(unit)
    queue.catch_up()
    english = made(DocumentRequest.objects.get(unit=unit))
    made(ask(yard.ada, unit, language="fr"))
    sold_units.hand_over(yard, unit)
    queue.catch_up()
    bundle = sold_units.made(unit, "registration")
    assert bundle.state == "done", bundle.failure
    with queue.open_file(bundle) as opened:
        assert content(english) in stored_files_of(opened.read())


def stored_files_of(archive: bytes) -> list[bytes]:
    """The contents of the files in a bundle."""
    with zipfile.ZipFile(BytesIO(archive)) as opened:
        return [opened.read(name) for name in opened.namelist()]


def test_the_units_page_offers_it_while_the_unit_is_released(yard: Yard) -> None:
    """To the yard's staff, in every language but English, each by its own name."""
    unit = yard.ready()
    ada = signed_in(yard.ada)
    offer = "Certificate in another language"
    assert offer not in ada.get(f"/units/{unit}/").content.decode()
    yard.release(unit)
    queue.catch_up()
    page = ada.get(f"/units/{unit}/").content.decode()
    assert offer in page
    assert '<span lang="en">English</span>' in page
    assert '<option value="es" lang="es">Español</option>' in page
    assert '<option value="en"' not in page
    assert offer not in signed_in(yard.rhea).get(f"/units/{unit}/").content.decode()
    post(ada, f"/units/{unit}/print/certificate/", language="fr")
    asked = DocumentRequest.objects.filter(unit=unit).latest("created")
    assert asked.cause.endswith("/fr")
    page = post(ada, f"/units/{unit}/print/certificate/", 409, language="de")
    assert "This language is not available. Choose one from the list." in page
