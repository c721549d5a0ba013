"""A photo marked afterwards as showing people is personal from then on."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.models import Photo
from prep.record.unit.commands.photos import AttachPhoto, MarkPeople, UnmarkPeople
from prep.verify.run import verify
from reports import queue
from reports.models import DocumentRequest
from tests.actions.kept import texts
from tests.cast import Yard
from tests.pages.visitor import Enter, post
from tests.project.other_yard import open_for_photos
from tests.refusals import refused
from tests.stored_files import own_folders, picture


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit with one photo, which nobody marked."""
    made = open_for_photos(yard)
    attach = AttachPhoto(step="pitch", line="finish")
    perform(attach, actor=yard.ada, target=made, attachment=picture())
    return made


def status(client: Client, path: str) -> int:
    """The status of an address; what it answers is read to its end."""
    answer = client.get(path)
    answer.getvalue()
    return answer.status_code


def file_of(photo: Photo) -> str:
    """The address of a photo."""
    return f"/photos/{photo.pk}/{photo.digest}"


def test_a_technician_marks_it_and_only_a_manager_takes_it_back(
    yard: Yard, enter: Enter, unit: UUID
) -> None:
    """By the page; from then on the technician does not see it, until the mark is taken back."""
    photo, technician, manager = Photo.objects.get(), enter(yard.ada), enter(yard.mira)
    link = f"/units/{unit}/do/photo.mark-people/?photo={photo.pk}"
    assert f'href="{link}"' in technician.get(f"/units/{unit}/steps/pitch/").content.decode()
    assert f'value="{photo.pk}"' in technician.get(link).content.decode()
    assert status(technician, file_of(photo)) == 200
    why = "A customer stands beside it (invented)"
    post(technician, link, photo=str(photo.pk), reason=why)
    assert Photo.objects.get().people
    assert (status(technician, file_of(photo)), status(manager, file_of(photo))) == (404, 200)
    assert why in manager.get(f"/units/{unit}/").content.decode()
    again = MarkPeople(photo=str(photo.pk), reason="r")
    refused("no-such-photo", perform, again, actor=yard.ada, target=unit)
    back = UnmarkPeople(photo=str(photo.pk), reason="It is a drawing (invented)")
    refused("not-allowed", perform, back, actor=yard.ada, target=unit)
    perform(back, actor=yard.mira, target=unit)
    assert not Photo.objects.get().people
    assert texts(verify()) == []


def test_a_mark_put_into_the_table_is_found(yard: Yard, unit: UUID) -> None:
    """And so is one taken out of it."""
    perform(MarkPeople(photo=str(Photo.objects.get().pk), reason="r"), actor=yard.ada, target=unit)
    assert texts(verify()) == []
    Photo.objects.update(people=False)
    assert texts(verify()) != []


def test_sales_and_another_yard_mark_nothing(yard: Yard, unit: UUID) -> None:
    """Nor is there a photo of another unit to mark here."""
    photo = Photo.objects.get()
    mark = MarkPeople(photo=str(photo.pk), reason="r")
    refused("not-allowed", perform, mark, actor=yard.sol, target=unit)
    refused("no-such-unit", perform, mark, actor=yard.outsider, target=unit)
    other = open_for_photos(yard)
    refused("no-such-photo", perform, mark, actor=yard.ada, target=other)
    assert not Photo.objects.get().people


def test_a_certificate_issued_before_the_mark_is_personal_with_it(
    yard: Yard, enter: Enter, unit: UUID
) -> None:
    """The technician opens it no more, because the photo is in it."""
    yard.take(unit, "pitch", "finish", "good")
    yard.sign(unit, "pitch")
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    certificate = DocumentRequest.objects.get(kind="certificate")
    path, technician = f"/documents/{certificate.pk}", enter(yard.ada)
    assert status(technician, path) == 200
    mark = MarkPeople(photo=str(Photo.objects.get().pk), reason="A customer (invented)")
    perform(mark, actor=yard.ada, target=unit)
    assert status(technician, path) == 409
    assert status(enter(yard.mira), path) == 200
