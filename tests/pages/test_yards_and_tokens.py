"""The pages of yards and tokens, as an administrator and as anybody else uses them."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from prep.actions.accounts.tokens import bearer
from prep.models import Person, Site, Token
from prep.queries.sites import yard_at
from prep.verify.run import verify
from tests.actions.kept import texts
from tests.cast import PASSWORD, Yard
from tests.programs import PROGRAM, program, program_token
from tests.stored_files import own_folders, picture

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Any) -> None:
    own_folders(settings, tmp_path)


def page_of(person: Person) -> Client:
    """A browser in which somebody is signed in."""
    client = Client()
    assert client.login(username=person.username, password=PASSWORD)
    return client


def test_a_token_is_shown_once_on_the_page(yard: Yard) -> None:
    """Loaded again, the page has none to show."""
    page = page_of(yard.ada)
    shown = page.get("/tokens/issue/").content.decode()
    command = shown.partition('name="command" value="')[2][:36]
    form = {"command": command, "name": "Invented app", "scopes": ["read"], "days": "90"}
    first = page.post("/tokens/issue/", form).content.decode()
    text = first.partition('<code class="token">')[2].partition("<")[0]
    assert isinstance(bearer(text), Person)
    assert f"Authorization: Token {text}" in first
    again = page.post("/tokens/issue/", form).content.decode()
    assert text not in again
    assert "This token was shown already" in again
    assert Token.objects.filter(signed_in=False).count() == 1


def test_whoever_may_not_gets_no_form(yard: Yard) -> None:
    """404, as of a page that is not there."""
    token = program_token(yard)
    page = page_of(yard.ada)
    for path in (
        f"/tokens/{token}/revoke/",
        "/yards/open/",
        "/yards/north/do/site.describe/",
        "/yards/north/systems/add/",
        "/yards/south/",
    ):
        assert page.get(path).status_code == 404
    assert page_of(yard.outsider).get("/yards/north/logo/").status_code == 404


def test_an_administrator_revokes_and_adds_a_program(yard: Yard) -> None:
    """Each by one form."""
    program(yard)
    page, token = page_of(yard.otto), program_token(yard)
    assert PROGRAM in page.get("/tokens/").content.decode()
    assert page.post(f"/tokens/{token}/revoke/").status_code == 302
    assert Token.objects.get(pk=token).revoked is not None
    form = {"username": "scale", "name": "Wheel scale", "roles": ["technician"]}
    assert page.post("/yards/north/systems/add/", form).status_code == 302
    assert str(Person.objects.get(username="scale")) == "Wheel scale (system)"


def test_a_yard_is_opened_and_described_by_page(yard: Yard) -> None:
    """What cannot be read is named, and the form keeps what was typed."""
    page = page_of(yard.otto)
    form = {"site": "west", "name": "West", "dealer": "Invented", "time_zone": "America/Chicago"}
    assert page.post("/yards/open/", form).headers["Location"] == "/yards/west/"
    assert Site.objects.get(pk="west").name == "West"
    wrong = page.post("/yards/west/do/site.set-hours/", {"monday": "8 to 5"})
    assert "“8 to 5” cannot be read as opening hours." in wrong.content.decode()
    assert 'value="8 to 5"' in wrong.content.decode()
    page.post("/yards/west/do/site.set-hours/", {"monday": "7:30-12:00, 13:00–17:00"})
    assert [one.opens for one in yard_at("west").hours] == ["07:30", "13:00"]
    days = {"country": "us", "region": "IA", "closed": "2026-08-21 County fair\n"}
    page.post("/yards/west/do/site.set-holidays/", days)
    assert yard_at("west").closed[0].name == "County fair"
    page.post("/yards/west/do/site.set-letterhead/", {"lines": "Open in season\n\n"})
    assert yard_at("west").letterhead == ("Open in season",)
    assert "Remove the logo" not in page.get("/yards/west/").content.decode()
    page.post(
        "/yards/west/do/site.set-logo/",
        {"photo": SimpleUploadedFile("logo.png", picture(), "image/png")},
    )
    assert page.get("/yards/west/logo/").getvalue().startswith(b"\x89PNG")
    shown = page.get("/yards/west/").content.decode()
    assert "Remove the logo" in shown
    assert texts(verify()) == []
    assert "07:30-12:00, 13:00-17:00" in shown


def test_whoever_ticks_nothing_is_told_to_tick_something(yard: Yard) -> None:
    """And how long a program's token is good is asked in its own words, not a guest's."""
    page = page_of(yard.otto)
    program(yard)
    form = {"name": "Scale", "days": "90"}
    wrong = page.post(f"/tokens/systems/{PROGRAM}/", form).content.decode()
    assert "“May be used to” needs at least one. Choose what applies." in wrong
    assert "Good for so many days" in wrong
    assert Token.objects.filter(signed_in=False).count() == 0


def test_a_token_of_a_program_is_not_offered_the_pin(yard: Yard) -> None:
    """It would be refused; a person's token is offered it."""
    program(yard)
    page = page_of(yard.otto)
    name = Person.objects.get(system_at=yard.site).username
    of_system = page.get(f"/tokens/systems/{name}/").content.decode()
    own = page.get("/tokens/issue/").content.decode()
    assert 'value="read"' in of_system
    assert 'value="sign"' not in of_system
    assert "Sign with the PIN" not in of_system
    assert 'value="sign"' in own
