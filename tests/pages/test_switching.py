"""Switching user by PIN, on a device of the yard and nowhere else."""

from uuid import UUID

import pytest
from django.test import Client

from prep.actions import people
from prep.actions.perform import perform
from prep.models import Person, Session
from prep.record.device.commands import RevokeDevice
from tests.actions.accounts.clock import clock
from tests.cast import PASSWORD, PIN, Yard
from tests.tablets import browser_of, tablet

NOT_HERE = "You cannot switch to this person here. Have them sign in with their password."


@pytest.fixture
def here(yard: Yard) -> UUID:
    """A tablet of the yard."""
    return tablet(yard.mira, yard.site)


def enter(client: Client, person: Person) -> None:
    """Somebody gives name and password on the page, after whoever was there left."""
    client.post("/sign-out")
    answer = client.post("/sign-in", {"username": person.username, "password": PASSWORD})
    assert answer.status_code == 302


def switch(client: Client, person: Person, pin: str = PIN, **more: str) -> tuple[int, str, str]:
    """Status, address and page of an answer to name and PIN."""
    typed = {"username": person.username, "pin": pin, **more}
    answer = client.post("/switch-user", typed)
    return answer.status_code, answer.get("Location", ""), answer.content.decode()


def who(client: Client) -> str:
    """Who is signed in; empty for nobody."""
    held = client.session.get("_auth_user_id")
    return Person.objects.get(pk=held).username if held else ""


def test_ben_takes_the_tablet_from_ada_by_his_pin_and_stays_on_the_page(
    yard: Yard, here: UUID
) -> None:
    """Both gave their password on it; the session has a new key and the old one is worthless."""
    unit = yard.started()
    client = browser_of(here)
    enter(client, yard.ben)
    enter(client, yard.ada)
    at = f"/units/{unit}/steps/block/"
    assert f'name="next" value="{at}"' in client.get(at).content.decode()
    page = client.get("/switch-user", {"next": at}).content.decode()
    assert [page.count(name) for name in ("Ada Invented", "Ben Invented")] >= [1, 1]
    assert "Mira Invented" not in page
    before = client.session.session_key
    assert switch(client, yard.ben, next=at)[:2] == (302, at)
    assert who(client) == yard.ben.username
    assert client.session.session_key != before
    assert not Session.objects.filter(pk=before).exists()
    assert Session.objects.get().device == here


def test_after_signing_out_the_tablet_still_offers_it(yard: Yard, here: UUID) -> None:
    """The first thing in the morning."""
    client = browser_of(here)
    enter(client, yard.ada)
    client.post("/sign-out")
    assert "Sign in by PIN" in client.get("/sign-in").content.decode()
    assert switch(client, yard.ada)[:2] == (302, "/")
    assert who(client) == yard.ada.username


def test_nobody_switches_who_did_not_give_their_password_on_this_device(
    yard: Yard, here: UUID
) -> None:
    """Neither one who gave it on another, nor one who never did; their PIN is not even tried."""
    other, client = browser_of(tablet(yard.mira, yard.site, "Tablet 3")), browser_of(here)
    enter(other, yard.ben)
    enter(client, yard.ada)
    for person in (yard.ben, yard.mira, Person(username="nobody-at-all")):
        status, _, page = switch(client, person)
        assert (status, NOT_HERE in page, who(client)) == (403, True, yard.ada.username)


def test_it_is_offered_on_no_other_browser(yard: Yard, here: UUID) -> None:
    """Without a key, or with a wrong one, the page says what to do; the button signs out."""
    for client in (Client(), browser_of(here, "another key")):
        enter(client, yard.ada)
        assert 'action="/sign-out"' in client.get("/").content.decode()
        status, _, page = switch(client, yard.ada)
        assert (status, "This device is not one of the yard" in page) == (403, True)
        assert "Sign in by PIN" not in client.get("/sign-in").content.decode()


def test_a_device_taken_out_of_use_switches_nobody(yard: Yard, here: UUID) -> None:
    """Enrolled again it begins anew: everybody gives their password once."""
    client = browser_of(here)
    enter(client, yard.ada)
    perform(RevokeDevice(reason="lost"), actor=yard.mira, target=here)
    status, _, page = switch(client, yard.ada)
    assert (status, "Tablet 2 was taken out of use" in page, who(client)) == (403, True, "")


def test_who_was_suspended_or_has_another_password_by_now_is_not_offered(
    yard: Yard, here: UUID
) -> None:
    """Their right PIN switches nobody."""
    client = browser_of(here)
    enter(client, yard.ben)
    enter(client, yard.ada)
    people.set_password(yard.ben, "another invented long word")
    assert NOT_HERE in switch(client, yard.ben)[2]
    client.post("/sign-out")
    Person.objects.filter(pk=yard.ada.pk).update(is_active=False)
    assert NOT_HERE in switch(client, yard.ada)[2]
    assert who(client) == ""


def test_after_thirty_days_the_password_is_asked_for_again(yard: Yard, here: UUID) -> None:
    """Switching by PIN meanwhile does not make it longer."""
    with clock() as now:
        client = browser_of(here)
        enter(client, yard.ada)
        now.wait(29 * 24 * 3600)
        assert switch(client, yard.ada)[0] == 302
        now.wait(24 * 3600)
        assert NOT_HERE in switch(client, yard.ada)[2]


def test_wrong_pins_wait_for_that_person_on_that_device(yard: Yard, here: UUID) -> None:
    """Ada still signs and switches; the owner is not kept out elsewhere, nor by password here."""
    client = browser_of(here)
    enter(client, yard.ben)
    enter(client, yard.ada)
    for _ in range(5):
        status, _, page = switch(client, yard.ben, "9034")
        assert (status, "Wrong PIN. Type it again" in page) == (403, True)
    answer = client.post("/switch-user", {"username": yard.ben.username, "pin": PIN})
    assert (answer.status_code, answer["Retry-After"]) == (429, "30")
    assert "Wait 30 seconds" in answer.content.decode()
    assert switch(client, yard.ada)[0] == 302
    other = browser_of(tablet(yard.mira, yard.site, "Tablet 3"))
    enter(other, yard.ben)
    assert switch(other, yard.ben)[0] == 302
    enter(client, yard.ben)


def test_trying_everybodys_pin_on_one_device_ends_after_twenty(yard: Yard, here: UUID) -> None:
    """Whoever finds the tablet tries few for each person, and few in all."""
    client = browser_of(here)
    everyone = (yard.ada, yard.ben, yard.mira, yard.sol, yard.rhea)
    for person in everyone:
        enter(client, person)
    tried = [switch(client, one, "9034")[0] for one in everyone for _ in range(4)]
    assert tried == [403] * 20
    assert switch(client, yard.ada)[0] == 429
    enter(client, yard.ada)


@pytest.mark.parametrize(
    "elsewhere", ["https://evil.example/", "//evil.example", "/\\evil.example", "javascript:x", ""]
)
def test_it_leads_back_to_no_other_site(yard: Yard, here: UUID, elsewhere: str) -> None:
    """To the yard's page instead."""
    client = browser_of(here)
    enter(client, yard.ada)
    assert switch(client, yard.ada, next=elsewhere)[:2] == (302, "/")


def test_a_page_of_another_site_switches_nobody(yard: Yard, here: UUID) -> None:
    """Its form has no token of ours."""
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = browser_of(here).cookies
    answer = strict.post("/switch-user", {"username": yard.ada.username, "pin": PIN})
    assert answer.status_code == 403
    assert who(strict) == ""
