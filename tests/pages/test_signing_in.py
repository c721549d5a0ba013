"""The sign-in page: what it says, and what it takes of whoever guesses."""

from django.test import Client

from tests.actions.accounts.clock import clock
from tests.cast import PASSWORD, Yard

WRONG = "Wrong name or password. Check both and try again."


def enter(client: Client, name: str, password: str = PASSWORD, **more: str) -> tuple[int, str, str]:
    """Status, address and text of the answer."""
    answer = client.post("/sign-in", {"username": name, "password": password, **more})
    return answer.status_code, answer.get("Location", ""), answer.content.decode()


def test_the_page_takes_five_wrong_passwords_then_says_how_long_to_wait(yard: Yard) -> None:
    """The right one is not judged before; half a minute later it opens."""
    name = yard.ada.username
    with clock() as now:
        client = Client()
        for _ in range(5):
            status, _, page = enter(client, name, "an invented guess")
            assert (status, WRONG in page) == (200, True)
        answer = client.post("/sign-in", {"username": name, "password": PASSWORD})
        assert (answer.status_code, answer["Retry-After"]) == (429, "30")
        assert "Too many wrong tries. Wait 30 seconds, then try again." in answer.content.decode()
        now.wait(30)
        assert enter(client, name)[:2] == (302, "/")


def test_another_browsers_guesses_do_not_keep_the_owner_out(yard: Yard) -> None:
    """Somebody elsewhere guesses at Ada's; at the yard's address she gave hers before."""
    assert enter(Client(), yard.ada.username)[0] == 302
    away = Client(REMOTE_ADDR="198.51.100.7")
    for _ in range(9):
        enter(away, yard.ada.username, "an invented guess")
    assert enter(away, yard.ada.username)[0] == 429
    assert enter(Client(), yard.ada.username)[0] == 302


def test_a_forged_header_does_not_lift_the_wait(yard: Yard) -> None:
    """Twenty strangers' names are tried, each with an address of its own in the header."""
    client = Client()
    for number in range(20):
        enter(Client(HTTP_X_FORWARDED_FOR=f"203.0.113.{number}"), f"nobody-{number}")
    forged = Client(HTTP_X_FORWARDED_FOR="203.0.113.99")
    assert [enter(one, "nobody-99")[0] for one in (client, forged)] == [429, 429]


def test_a_name_that_nobody_has_reads_the_same(yard: Yard) -> None:
    """Also for somebody who was suspended; an empty form, too."""
    yard.ben.is_active = False
    yard.ben.save(update_fields=["is_active"])
    for name in (yard.ada.username, "nobody-at-all", yard.ben.username):
        status, _, page = enter(Client(), name, "an invented guess")
        assert (status, page.count(WRONG)) == (200, 1)
    assert enter(Client(), "", "")[0] == 200


def test_signing_in_leads_back_to_the_page_and_to_no_other_site(yard: Yard) -> None:
    """An address that begins with two slashes is another site's."""
    at = "/lists/units/"
    assert enter(Client(), yard.ada.username, next=at)[1] == at
    for elsewhere in ("//evil.example/", "https://evil.example/", "/\\evil.example"):
        assert enter(Client(), yard.ada.username, next=elsewhere)[1] == "/"
