"""The pages of people: who works here, an account, invitations, joining, your settings."""

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from prep.actions.perform import perform
from prep.models import Invitation, Person
from prep.record.person.commands.access import SuspendPerson
from prep.record.person.commands.cards import RecordCard
from tests.actions.people.cast import LONG, invite, secret_of, south
from tests.cast import PASSWORD, Yard
from tests.pages.visitor import Enter, post, signed_in

INVITE = "/people/invite/north/"
JO: dict[str, Any] = {
    "username": "jo",
    "name": "Jo Invented",
    "roles": ["technician"],
    "language": "es",
    "units": "metric",
    "numbers": "comma",
}
CHOSEN: dict[str, Any] = {
    "password": LONG,
    "password_again": LONG,
    "pin": "8317",
    "pin_again": "8317",
    "language": "es",
}


def seen(client: Client, path: str, status: int = 200) -> str:
    """A page."""
    answer = client.get(path)
    assert answer.status_code == status
    return answer.content.decode()


def test_the_administrator_invites_and_the_person_joins_and_signs_in(
    yard: Yard, enter: Enter
) -> None:
    """The link and the code are shown once, with a QR code; then the account is theirs."""
    page = post(enter(yard.otto), INVITE, 200, **JO)
    row = Invitation.objects.get()
    assert "For Jo Invented alone" in page
    assert "<svg" in page
    account = seen(signed_in(yard.otto), f"/people/{row.person_id}/")
    assert "A link is open until" in account
    link = page.partition("/join/")[2].partition("<")[0]
    code = page.partition('class="spoken">')[2].partition("<")[0]
    assert link not in account
    assert code not in account
    visitor = Client()
    assert "Jo Invented" in seen(visitor, f"/join/{link}")
    answer = visitor.post("/join", {"code": code.lower(), **CHOSEN})
    assert answer["Location"] == "/joined"
    assert "Sign in as <b>jo</b>" in seen(visitor, "/joined")
    assert visitor.get("/joined")["Location"] == "/sign-in"  # once; then it is nobody's page
    assert visitor.login(username="jo", password=LONG)
    jo = Person.objects.get(username="jo")
    assert (jo.language, jo.units, jo.decimal_comma) == ("es", "metric", True)
    assert "This link was used already." in seen(Client(), f"/join/{link}", 409)


def test_what_is_typed_wrong_is_said_and_the_form_stays(yard: Yard) -> None:
    """A password that is too short, two PINs that differ, a code with a slip."""
    _, opener = invite(yard)
    client, path = Client(), f"/join/{secret_of(opener)}"
    slips: tuple[tuple[dict[str, Any], str], ...] = (
        ({"password": "short", "password_again": "short"}, "at least 10 characters"),
        ({"password_again": "another long one"}, "The two passwords differ."),
        ({"pin_again": "7412"}, "The two PINs differ."),
        ({"pin": "1234", "pin_again": "1234"}, "PIN"),
    )
    for wrong, said in slips:
        page = post(client, path, 409, **{**CHOSEN, **wrong})
        assert said in page
        assert "New password again" in page
    assert "That cannot be a code from here" in post(client, "/join", 409, code="ABC")
    assert "not known here" in seen(client, "/join/" + "x" * 43, 409)
    assert post(client, path, **CHOSEN) == ""


def test_a_page_with_a_link_on_it_is_kept_nowhere(yard: Yard, enter: Enter) -> None:
    """Neither in the browser's memory nor in a proxy's."""
    answer = enter(yard.otto).post(INVITE, JO)
    assert answer["Cache-Control"] == "no-store"
    _, opener = invite(yard, "pat")
    assert Client().get(f"/join/{secret_of(opener)}")["Cache-Control"] == "no-store"


def test_everybody_sees_who_works_here_and_only_the_office_the_accounts(
    yard: Yard, enter: Enter
) -> None:
    """A technician sees roles and cards; no last sign-in, no account, no button."""
    card = RecordCard(kind="forklift", number="INV-0042", valid_until="2020-01-31")
    perform(card, actor=yard.otto, target=yard.ben.pk)
    perform(SuspendPerson(reason="Lost (invented)"), actor=yard.otto, target=yard.sol.pk)
    page = seen(enter(yard.ada), "/people/")
    for shown in ("Ben Invented", "Technician", "Forklift", "31 Jan 2020", "EXPIRED", "suspended"):
        assert shown in page
    for hidden in ("Invite a person", "sign-in", f"/people/{yard.ben.pk}/", "INV-0042"):
        assert hidden not in page.partition("<main")[2]
    assert "Last sign-in" in seen(enter(yard.rhea), "/people/")
    for path in (INVITE, f"/people/{yard.ben.pk}/do/person.suspend/"):
        enter(yard.ada).get(path)
        assert enter(yard.ada).get(path).status_code in {403, 404}


def test_the_account_offers_what_may_be_done_now_and_does_it(yard: Yard, enter: Enter) -> None:
    """Suspend, then restore; a card; a role; what happened stands below."""
    client, path = enter(yard.otto), f"/people/{yard.ada.pk}/"
    page = seen(client, path)
    assert "Suspend the account" in page
    assert "Restore the account" not in page
    post(client, f"{path}do/person.suspend/", reason="Tablet lost")
    page = seen(client, path)
    assert "Suspended: Tablet lost" in page
    assert "Suspend the account" not in page
    post(client, f"{path}do/person.restore/", reason="Tablet found")
    post(
        client,
        f"{path}do/card.record/",
        kind="manufacturer-course",
        manufacturer="Larkfield",
        valid_until="2099-12-31",
        number="",
    )
    post(client, f"{path}roles/north/add/", person=yard.ada.username, role="sales")
    page = seen(client, path)
    assert "course: Larkfield" in page
    assert "Role given at North yard: Sales." in page
    refusal = post(client, f"{path}roles/north/add/", 409, person=yard.ada.username, role="sales")
    assert "Ada Invented is a salesperson here already." in refusal
    page = post(client, f"{path}do/person.reset/", 200)
    assert "For Ada Invented alone" in page


def test_the_last_administrator_is_told_what_to_do_first(yard: Yard, enter: Enter) -> None:
    """In a sentence."""
    path = f"/people/{yard.otto.pk}/roles/north/remove/"
    said = post(enter(yard.otto), path, 409, person=yard.otto.username, role="administrator")
    assert (
        "Otto Invented is the only active administrator of North yard. Make somebody else an "
        "administrator there first."
    ) in said


def test_somebody_of_another_yard_has_no_page_here(yard: Yard, enter: Enter) -> None:
    """Nor has whoever there is not."""
    south(yard)
    for person, status in ((yard.outsider.pk, 404), (999_999, 404), (10**30, 404)):
        assert enter(yard.otto).get(f"/people/{person}/").status_code == status
    assert enter(yard.outsider).get(f"/people/{yard.ada.pk}/").status_code == 404
    assert enter(yard.otto).get(f"/people/{yard.ada.pk}/roles/south/add/").status_code == 404


def test_your_settings_are_yours_whatever_your_role(yard: Yard, enter: Enter) -> None:
    """Units, comma, e-mail, PIN, password; this browser stays signed in, others do not."""
    client, other = enter(yard.ada), enter(yard.ada)
    post(
        client,
        "/settings/person.prefer/",
        language="en",
        units="metric",
        numbers="comma",
    )
    ada = Person.objects.get(pk=yard.ada.pk)
    assert (ada.units, ada.decimal_comma) == ("metric", True)
    post(client, "/settings/person.contact/", email="ada@invented.example", phone="")
    assert "ada@invented.example" in seen(client, "/settings/")
    said = post(client, "/settings/pin/", 409, password="no", new="8317", new_again="8317")
    assert "Wrong password. Type it again." in said
    assert "Saved." not in seen(client, "/settings/?saved=nothing")
    pin = {"command": str(uuid4()), "password": PASSWORD, "new": "8317", "new_again": "8317"}
    assert client.post("/settings/pin/", pin)["Location"] == "/settings/?saved=pin"
    assert "Saved. It counts from now on." in seen(client, "/settings/?saved=pin")
    post(client, "/settings/password/", password=PASSWORD, new=LONG, new_again=LONG)
    assert client.get("/").status_code == 200
    assert other.get("/").status_code == 302
    post(client, "/settings/person.sign-out/")
    assert client.get("/").status_code == 302


@pytest.mark.parametrize("path", ["/people/", "/settings/", INVITE, "/people/1/"])
def test_nobody_sees_any_of_it_without_signing_in(yard: Yard, path: str) -> None:
    """They are led to the sign-in page."""
    assert Client().get(path)["Location"].startswith("/sign-in")


def test_whoever_audits_sees_the_roles_people_gave_themselves(yard: Yard, enter: Enter) -> None:
    """An administrator may; it is told."""
    path = f"/people/{yard.otto.pk}/roles/north/add/"
    post(enter(yard.otto), path, person=yard.otto.username, role="service manager")
    page = seen(enter(yard.rhea), "/audit/")
    assert "Roles people gave themselves" in page
    assert "Role given at North yard: Service manager." in page


def test_somebody_of_another_yard_or_who_left_gets_a_role_by_their_user_name(
    yard: Yard, enter: Enter
) -> None:
    """By name where their account is not seen yet; on the account where it is."""
    south(yard)
    una = enter(yard.outsider)
    given: dict[str, Any] = {"person": yard.ada.username, "role": "technician"}
    assert enter(yard.ada).get("/people/roles/north/").status_code == 404
    assert una.get("/people/roles/north/").status_code == 404
    post(una, "/people/roles/south/", **given)
    assert "Ada Invented" in seen(una, "/people/")
    page = seen(una, f"/people/{yard.ada.pk}/")
    assert "South yard" in page
    assert "North yard" not in page
    assert "There is no user" in post(una, "/people/roles/south/", 409, person="no", role="sales")


def test_whoever_forgot_is_led_to_new_secrets_and_not_to_a_new_account(
    yard: Yard, enter: Enter
) -> None:
    """The same link and code, called what they are; until when, by the yard's clock."""
    page = post(enter(yard.otto), f"/people/{yard.ada.pk}/do/person.reset/", 200)
    assert "C" in page.partition("once, until ")[2].partition(".")[0][-3:]  # CST or CDT
    link = page.partition("/join/")[2].partition("<")[0]
    shown = seen(Client(), f"/join/{link}")
    assert "Choose a new password and PIN" in shown
    assert "Open my account" not in shown
