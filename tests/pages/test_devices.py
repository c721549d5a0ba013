"""Devices of the yard: enrolled on the spot, listed, renamed, taken out of use."""

from uuid import UUID, uuid4

import pytest
from django.core.cache import cache
from django.test import Client

from prep.actions.accounts.devices import device_of
from prep.models import Device, Event, Session
from prep.pages.device_cookie import COOKIE
from prep.record.refusal import Refusal
from tests.cast import PASSWORD, Yard
from tests.pages.visitor import post, signed_in
from tests.tablets import KEY, browser_of, tablet


def enter(client: Client, name: str) -> None:
    """Sign in on the page."""
    answer = client.post("/sign-in", {"username": name, "password": PASSWORD})
    assert answer.status_code == 302


def test_an_administrator_makes_the_tablet_in_hand_one_of_the_yards(yard: Yard) -> None:
    """It gets a key that no script reads; the service keeps its digest, the log not even that."""
    client = signed_in(yard.otto)
    assert "Make this device one of the yard" in client.get("/devices/").content.decode()
    form = client.get("/devices/enroll").content.decode()
    assert "for 30 days. Enroll only what stays at the yard." in form
    assert "key_digest" not in form
    post(client, "/devices/enroll", site=yard.site, name="  Tablet  2 ")
    cookie = client.cookies[COOKIE]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Lax", 34_560_000)
    device = Device.objects.get()
    assert (device.name, device.site_id, device.enrolled_by) == (
        "Tablet 2",
        yard.site,
        "Otto Invented",
    )
    assert device_of(cookie.value) == device
    key = cookie.value.partition(".")[2]
    event = Event.objects.get(kind="device.enrolled")
    assert not any(secret in event.body for secret in (key, device.key_digest))
    assert Session.objects.get().device == device.pk
    assert "This device is enrolled as Tablet 2." in client.get("/devices/").content.decode()


def test_a_form_sent_twice_enrolls_one_device_with_one_key(yard: Yard) -> None:
    """The tablet keeps what the second answer gives it."""
    client, command = signed_in(yard.mira), str(uuid4())
    post(client, "/devices/enroll", site=yard.site, name="Tablet 2", command=command)
    first = client.cookies[COOKIE].value
    post(client, "/devices/enroll", site=yard.site, name="Tablet 2", command=command)
    assert client.cookies[COOKIE].value == first
    assert device_of(first) == Device.objects.get()


def test_nobody_else_enrolls_a_device_or_one_for_another_yard(yard: Yard) -> None:
    """Not a technician, not sales, not an auditor; not a form made up for the south."""
    for person in (yard.ada, yard.sol, yard.rhea, yard.outsider):
        client = signed_in(person)
        assert client.get("/devices/enroll").status_code == 404
        post(client, "/devices/enroll", 404, site=yard.site, name="Tablet 2")
    page = post(signed_in(yard.otto), "/devices/enroll", 409, site="south", name="Tablet 2")
    assert "There is no such yard" in page or "role" in page or "yard" in page
    assert not Device.objects.exists()


def test_the_list_says_what_waits_on_a_device_and_when_it_was_last_heard_of(yard: Yard) -> None:
    """The auditor reads it and changes nothing; a technician does not see the page."""
    here = tablet(yard.mira, yard.site)
    client = browser_of(here)
    enter(client, yard.ada.username)
    assert client.post("/devices/here/unsent", {"count": "3"}).status_code == 204
    auditor = signed_in(yard.rhea).get("/devices/").content.decode()
    assert "Tablet 2" in auditor
    assert "3 entries not sent." in auditor
    assert "Last contact" in auditor
    assert "Take out of use" not in auditor
    client.post("/devices/here/unsent", {"count": "0"})
    assert "Everything on it was sent." in signed_in(yard.otto).get("/devices/").content.decode()
    assert client.get("/devices/").status_code == 404


@pytest.mark.parametrize("count", ["", "-1", "x", "9" * 40, "٣"])
def test_nonsense_about_what_waits_is_passed_over(yard: Yard, count: str) -> None:
    """And so is anything that is said where no device is enrolled."""
    here = tablet(yard.mira, yard.site)
    client = browser_of(here)
    enter(client, yard.ada.username)
    assert client.post("/devices/here/unsent", {"count": count}).status_code == 204
    assert signed_in(yard.ben).post("/devices/here/unsent", {"count": "7"}).status_code == 204
    assert Device.objects.get().unsent is None


def test_each_visit_counts_as_contact_once_in_five_minutes(yard: Yard) -> None:
    """A page costs no statement for it in between."""
    here = tablet(yard.mira, yard.site)
    client = browser_of(here)
    enter(client, yard.ada.username)
    first = Device.objects.get().contact
    assert first is not None
    client.get("/")
    assert Device.objects.get().contact == first
    cache.clear()
    client.get("/")
    now = Device.objects.get().contact
    assert now is not None
    assert now > first


def test_taking_a_device_out_of_use_signs_everybody_out_on_it_at_once(yard: Yard) -> None:
    """Ada's session on it ends, hers at the desk goes on; its cookie is worth nothing."""
    here = tablet(yard.mira, yard.site)
    on_it, desk = browser_of(here), Client()
    for client in (on_it, desk):
        enter(client, yard.ada.username)
    manager = signed_in(yard.mira)
    path = f"/devices/{here}/revoke/"
    assert "Everybody is signed out on it at once" in manager.get(path).content.decode()
    assert "What happened to it" in post(manager, path, 409, reason=" ")
    post(manager, path, reason="Left in a buyer's truck (invented).")
    assert on_it.get("/")["Location"].startswith("/sign-in")
    assert desk.get("/").status_code == 200
    with pytest.raises(Refusal) as caught:
        device_of(f"{here}.{KEY}")
    assert caught.value.code == "device-revoked"
    enter(on_it, yard.ada.username)
    assert on_it.cookies[COOKIE].value == ""
    assert Session.objects.filter(device=here).count() == 0
    assert "Out of use since" in manager.get("/devices/").content.decode()
    assert "was taken out of use" in post(manager, path, 409, reason="again")


def test_a_device_is_renamed_and_keeps_its_key(yard: Yard) -> None:
    """Who may not change it meets nothing."""
    here = tablet(yard.mira, yard.site)
    path = f"/devices/{here}/rename/"
    assert signed_in(yard.ada).get(path).status_code == 404
    client = signed_in(yard.mira)
    assert 'value="Tablet 2"' in client.get(path).content.decode()
    post(client, path, name="Tablet at the wash bay")
    assert device_of(f"{here}.{KEY}").name == "Tablet at the wash bay"
    assert client.get(f"/devices/{here}/enroll/").status_code == 404


@pytest.mark.parametrize(
    "cookie",
    ["", ".", "x.y", f"{UUID(int=7)}.{KEY}", "{here}.", "{here}.another key", "{here}", "\ud800.x"],
)
def test_a_cookie_that_is_made_up_makes_no_device_of_a_browser(yard: Yard, cookie: str) -> None:
    """Signing in with it is signing in on any browser."""
    here: UUID = tablet(yard.mira, yard.site)
    with pytest.raises(Refusal) as caught:
        device_of(cookie.format(here=here))
    assert caught.value.code == "device-unknown"
