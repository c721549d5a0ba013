"""Copying from paper by the pages: a picture, who and when, then box by box."""

from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from prep.models import Event, Reading
from prep.queries.records import record_of
from tests.cast import PASSWORD, PIN, Yard, seen
from tests.stored_files import own_folders, picture


@pytest.fixture
def ben(yard: Yard, settings: Any, tmp_path: Path) -> Client:
    """Ben at the office computer, copying what others wrote in the yard."""
    own_folders(settings, tmp_path)
    return signed_in(yard.ben.username)


def signed_in(username: str) -> Client:
    """A browser in which somebody is signed in."""
    client = Client()
    assert client.login(username=username, password=PASSWORD)
    return client


def send(client: Client, path: str, **fields: Any) -> Any:
    """Send a form."""
    return client.post(path, {"command": str(uuid4()), **fields})


def attached(client: Client, path: str) -> str:
    """Add a picture of a page on a step's page; its id, as the page that follows has it."""
    sent = SimpleUploadedFile("page.png", picture(), "image/png")
    answer = send(client, path, do="paper", photo=sent, note="page 3")
    assert answer.status_code == 302
    assert answer["Location"].startswith(f"{path}?paper=")
    return str(answer["Location"].partition("=")[2].partition("#")[0])


def address(path: str, photo: str, writer: str, written: str) -> str:
    """The step's page while copying."""
    return f"{path}?{urlencode({'paper': photo, 'writer': writer, 'written': written})}"


def yard_now() -> str:
    """This minute by the yard's clock, as the page's field has it."""
    return timezone.now().astimezone(ZoneInfo("America/Chicago")).strftime("%Y-%m-%dT%H:%M")


def test_a_page_of_paper_is_copied_box_by_box(yard: Yard, ben: Client) -> None:
    """The picture, then who and when, then values; the page says so all the while."""
    unit = yard.started()
    path = f"/units/{unit}/steps/pitch/"
    photo = attached(ben, path)
    page = ben.get(f"{path}?paper={photo}").content.decode()
    assert "page 3" in page
    assert f'<option value="{yard.ada.username}">Ada Invented</option>' in page
    assert "Sol Invented" not in page  # sales does no step
    copying = address(path, photo, yard.ada.username, yard_now())
    page = ben.get(copying).content.decode()
    assert "Copying from paper" in page
    assert "that Ada Invented wrote" in page
    answer = send(ben, copying, do="reading", box="front|", text="4 in")
    assert answer["Location"] == f"{copying}#box-front"
    send(ben, copying, do="reading", box="finish|", text="good")
    page = ben.get(copying).content.decode()
    assert page.count("copied from paper: written by Ada Invented") == 2
    assert "copied by Ben Invented" in page
    entry = record_of(unit).boxes["pitch", "front", ""].current
    assert entry is not None
    assert entry.event.paper is not None
    assert (entry.event.paper.writer_name, entry.stamp.name) == ("Ada Invented", "Ben Invented")
    assert (
        "Copied from paper written by Ada Invented." in ben.get(f"/units/{unit}/").content.decode()
    )


def test_the_copier_is_told_that_the_writer_signs(yard: Yard, ben: Client) -> None:
    """Ben's PIN does not do; Ada's, signed in as Ada, does."""
    unit = yard.started()
    path = f"/units/{unit}/steps/pitch/"
    copying = address(path, attached(ben, path), yard.ada.username, yard_now())
    send(ben, copying, do="reading", box="front|", text="4 in")
    send(ben, copying, do="reading", box="finish|", text="good")
    page = ben.get(path).content.decode()
    assert "must sign with their own PIN: Ada Invented." in page
    assert 'name="pin"' not in page
    refused = send(ben, path, do="sign", seen=seen(unit, "pitch"), pin=PIN)
    assert refused.status_code == 409
    assert "a page written by Ada Invented" in refused.content.decode()
    ada = signed_in(yard.ada.username)
    assert send(ada, path, do="sign", seen=seen(unit, "pitch"), pin=PIN).status_code == 302


@pytest.mark.parametrize(
    "query", ["?paper={photo}", "?writer=x", "?paper=1&writer=x&written=2026-03-02T10:00",
              "?paper={photo}&writer={ada}&written=yesterday"],
)  # fmt: skip
def test_half_said_paper_never_passes_for_an_entry_made_on_the_spot(
    yard: Yard, ben: Client, query: str
) -> None:
    """What is missing is asked for; what was typed stays in its field."""
    unit = yard.started()
    path = f"/units/{unit}/steps/pitch/"
    photo = attached(ben, path)
    asked = path + query.format(photo=photo, ada=yard.ada.username)
    answer = send(ben, asked, do="reading", box="front|", text="4 1/8 in")
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "Choose the photo, who wrote it, and the date and time" in page
    assert 'value="4 1/8 in"' in page
    assert not Reading.objects.exists()


def test_a_step_that_waits_is_open_for_paper_alone(yard: Yard, ben: Client) -> None:
    """The office copies a whole sheet; signing follows in its order."""
    unit = yard.started()
    first, later = (f"/units/{unit}/steps/{step}/" for step in ("block", "blades"))
    query = address("", attached(ben, first), yard.ada.username, yard_now())
    assert 'name="text"' not in ben.get(later).content.decode()
    send(ben, first, do="acknowledge")
    send(ben, first + query, do="check", box="blocked|", answer="yes")
    send(ben, later, do="acknowledge")
    assert 'name="text"' in ben.get(later + query).content.decode()
    for position in ("left", "right"):
        box = f"torque|{position}"
        send(ben, later + query, do="reading", box=box, text="450 ft lb", instrument="W-1")
    assert Event.objects.filter(kind="reading.taken").count() == 2


def test_a_picture_is_needed_and_must_be_one(yard: Yard, ben: Client) -> None:
    """Nothing chosen, and a file that is no picture."""
    unit: UUID = yard.started()
    path = f"/units/{unit}/steps/pitch/"
    before = Event.objects.count()
    assert send(ben, path, do="paper").status_code == 409
    text = SimpleUploadedFile("page.png", b"<svg onload=alert(1)>", "image/png")
    assert send(ben, path, do="paper", photo=text).status_code == 409
    assert Event.objects.count() == before
