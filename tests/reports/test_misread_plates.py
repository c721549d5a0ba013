"""Documents issued under a misread plate are replaced, and say so to whoever checks them."""

import json
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.unit.commands.plates import AttachPlate, CorrectPlate
from prep.record.unit.commands.registrations import SendRegistration, as_recorded
from prep.verify.findings import Finding
from reports import queue
from reports.labels.sizes import SIZES
from reports.models import DocumentRequest
from reports.queue.checks import documents as checked
from tests import stored_files
from tests.cast import PIN, Yard
from tests.reports import sold_units
from tests.reports.certificates import built_again, record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, unspaced
from tests.reports.registration_bundles import data_of, published_key, verdict

pytestmark = needs_poppler
RIGHT = "TC00901"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    stored_files.own_folders(settings, tmp_path)


def correct(yard: Yard, unit: UUID, serial: str = RIGHT) -> None:
    """Mira corrects the plate, with a photo of it; the queue reads on."""
    attach = AttachPlate()
    picture = stored_files.picture(7)
    photo = perform(attach, actor=yard.ada, target=unit, attachment=picture).events[0].photo
    command = CorrectPlate(serial=serial, photo=photo, reason="1 and 7 (invented)", pin=PIN)
    perform(command, actor=yard.mira, target=unit)
    queue.catch_up()


def content(request: DocumentRequest) -> bytes:
    """The finished file."""
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def made(unit: UUID, kind: str) -> list[DocumentRequest]:
    """The documents of a kind, oldest first, after all that is due was made."""
    queue.run_due()
    return list(DocumentRequest.objects.filter(unit=unit, kind=kind).order_by("created"))


def problems() -> list[Finding]:
    """What a verification finds of the documents."""
    return [one for one in checked(lambda *_: None) if isinstance(one, Finding)]


def ask(yard: Yard, unit: UUID, kind: str, **parameters: Any) -> DocumentRequest:
    """Sol asks for a document."""
    asked = queue.ask(actor=yard.sol, kind=kind, command=uuid4(), unit=unit, parameters=parameters)
    queue.run_due()
    return asked


def test_the_certificate_is_issued_again_and_states_the_correction(
    yard: Yard, tmp_path: Path
) -> None:
    """The same release, the right number, a number of its own; the first one says replaced."""
    unit = sold_units.sold(yard)
    was = record_of(unit).serial
    (first,) = made(unit, "certificate")
    correct(yard, unit)
    _, second = made(unit, "certificate")
    assert second.state == "done", second.failure
    assert (second.replaces, second.number == first.number) == (first, False)
    front = unspaced(pages_of(content(second), tmp_path)[0])
    assert unspaced(RIGHT) in front
    assert unspaced(f"formerly read as {was}") in front
    assert unspaced(f"Do not use {first.number} anymore. It was for the same release") in front
    certificate = record_of_pdf(content(second))["certificate"]
    assert certificate["unit"]["serial"] == RIGHT
    assert certificate["corrections"][0]["serial"] == was
    assert record_of_pdf(content(first))["certificate"]["unit"]["serial"] == was
    assert built_again(second) == content(second)
    page = Client().get(f"/verify/{first.number}").content.decode()
    assert f"Replaced by {second.number}. Do not use this one." in page
    assert "Do not use" not in Client().get(f"/verify/{second.number}").content.decode()
    assert problems() == []


def test_one_in_another_language_is_replaced_in_its_language(yard: Yard) -> None:
    """And whoever asks for one later gets it with the right number."""
    unit = sold_units.sold(yard)
    spanish = ask(yard, unit, "certificate", language="es")
    correct(yard, unit)
    by_cause = {one.cause: one for one in made(unit, "certificate")}
    assert len(by_cause) == 4
    successor = next(one for one in by_cause.values() if one.replaces_id == spanish.pk)
    assert "/es/" in successor.cause
    french = ask(yard, unit, "certificate", language="fr")
    french.refresh_from_db()
    assert "/fr/" in french.cause
    assert record_of_pdf(content(french))["certificate"]["unit"]["serial"] == RIGHT
    assert ask(yard, unit, "certificate", language="es").pk == successor.pk


def test_the_next_registration_has_the_right_number(yard: Yard, tmp_path: Path) -> None:
    """A version of its own with the corrected certificate in it, even after it was accepted."""
    unit = sold_units.sold(yard)
    (first,) = made(unit, "registration")
    send = SendRegistration(document=str(first.pk))
    perform(send, actor=yard.sol, target=unit)
    correct(yard, unit)
    _, second = made(unit, "registration")
    assert second.state == "done", second.failure
    assert second.replaces == first
    bundle = sold_units.saved(second, tmp_path)
    form = json.loads(data_of(bundle)["registration.json"])
    assert (form["unit"]["serial"], form["version"], form["replaces"]) == (
        RIGHT,
        2,
        first.number,
    )
    assert verdict(bundle, published_key()).exit_code == 0
    assert as_recorded(record_of(unit)).state == "due"
    assert problems() == []


def test_labels_are_printed_again_and_the_first_ones_are_replaced(yard: Yard) -> None:
    """Those of this unit alone; labels asked for afterwards are right already."""
    unit = yard.receive()
    size = next(iter(SIZES))
    first = ask(yard, unit, "labels", size=size)
    other = ask(yard, unit, "labels", size=size)
    correct(yard, unit)
    later = ask(yard, unit, "labels", size=size)
    labels = made(unit, "labels")
    assert len(labels) == 5
    replaced = {one.replaces_id for one in labels if one.replaces_id}
    assert replaced == {first.pk, other.pk}
    queue.catch_up()
    assert len(made(unit, "labels")) == 5
    assert later.pk not in replaced
    assert problems() == []


def test_corrected_twice_each_follows_the_one_before(yard: Yard) -> None:
    """The chain of certificates leads from the first to the last."""
    unit = sold_units.sold(yard)
    made(unit, "certificate")
    correct(yard, unit, "TC00901")
    made(unit, "certificate")
    correct(yard, unit, "TC00902")
    first, second, third = made(unit, "certificate")
    assert (second.replaces, third.replaces) == (first, second)
    facts = record_of_pdf(content(third))["certificate"]
    assert facts["replaces"]["misread"] == "TC00901"
    assert [one["serial"] for one in facts["corrections"]] == ["TC00001", "TC00901"]


def test_a_unit_that_was_never_released_has_nothing_to_replace(yard: Yard) -> None:
    """Of what is not issued there is no second one."""
    unit = yard.started()
    correct(yard, unit)
    assert made(unit, "certificate") == made(unit, "registration") == made(unit, "labels") == []
