"""Correcting a misread plate on the unit's pages: the photo first, then the number."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from prep.queries.records import record_of
from tests.cast import PIN, Yard
from tests.pages.visitor import Enter, post
from tests.stored_files import own_folders, picture


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def test_the_manager_takes_a_photo_and_corrects_the_plate(yard: Yard, enter: Enter) -> None:
    """Without a photo the page says so; afterwards every page says what it was read as."""
    unit = yard.receive("TC1O1")
    client = enter(yard.mira)
    page = client.get(f"/units/{unit}/do/plate.correct/").content.decode()
    assert "There is no photo of this plate yet" in page
    photo = SimpleUploadedFile("plate.png", picture(), "image/png")
    post(client, f"/units/{unit}/do/plate.attach/", photo=photo, note="cleaned")
    photo_id = record_of(unit).photos[0][0].photo
    page = client.get(f"/units/{unit}/do/plate.correct/").content.decode()
    assert f'value="{photo_id}"' in page
    form: dict[str, Any] = {"serial": "TC101", "photo": photo_id, "reason": "O for 0", "pin": PIN}
    post(client, f"/units/{unit}/do/plate.correct/", **form)
    page = client.get(f"/units/{unit}/").content.decode()
    assert "formerly read as TC1O1" in page
    assert "Plate corrected: TC101, formerly read as TC1O1: “O for 0”" in page
    assert "formerly read as TC1O1" in client.get("/", {"q": "TC1O1"}).content.decode()


def test_a_plate_of_another_unit_leads_to_it(yard: Yard, enter: Enter) -> None:
    """A link beside the refusal; the photo is required in the form that takes one."""
    other, unit = yard.receive("TC101"), yard.receive("TC202")
    client = enter(yard.mira)
    post(client, f"/units/{unit}/do/plate.attach/", 409, note="no file")
    photo = SimpleUploadedFile("plate.png", picture(), "image/png")
    post(client, f"/units/{unit}/do/plate.attach/", photo=photo)
    form: dict[str, Any] = {
        "serial": "TC-101",
        "photo": record_of(unit).photos[0][0].photo,
        "reason": "misread",
        "pin": PIN,
    }
    page = post(client, f"/units/{unit}/do/plate.correct/", 409, **form)
    assert f'href="/units/{other}/"' in page


def test_the_manager_joins_the_record_chosen_from_the_likeliest(yard: Yard, enter: Enter) -> None:
    """The nearest serial stands first; the record that ended leads to the one that goes on."""
    unit, _, twin = yard.receive("TC1011"), yard.receive("TX9"), yard.receive("TC1101")
    client = enter(yard.mira)
    page = client.get(f"/units/{unit}/do/unit.join/").content.decode()
    assert page.index("Larkfield TC1101") < page.index("Larkfield TX9")
    form: dict[str, Any] = {"joined": str(twin), "reason": "Received twice", "pin": PIN}
    post(client, f"/units/{unit}/do/unit.join/", **form)
    ended = client.get(f"/units/{twin}/").content.decode()
    assert "This record was joined into that of" in ended
    assert f'href="/units/{unit}/"' in ended
    assert "History of the joined record TC1101" in client.get(f"/units/{unit}/").content.decode()
