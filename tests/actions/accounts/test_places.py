"""Attempts where somebody gave their password, and everywhere else."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from unittest.mock import patch
from uuid import UUID

from django.contrib.auth.hashers import MD5PasswordHasher
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext

from prep.actions import people
from prep.actions.accounts import passwords, pins, places
from prep.actions.accounts.clearing import clear_past
from prep.actions.accounts.origin import Origin
from prep.actions.perform import perform
from prep.models import Attempt, PasswordGiven
from prep.record.person.commands.access import SuspendPerson
from prep.record.refusal import Refusal
from tests.actions.accounts.clock import clock
from tests.cast import PASSWORD, PIN, Yard

TABLET = UUID("0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11")
YARD, HOME, AWAY = (Origin(f"192.0.2.{last}") for last in (1, 2, 3))
ON_TABLET = Origin(YARD.address, TABLET)


def enter(name: str, password: str, origin: Origin) -> str:
    """Try to sign in; the code it is refused with, or empty."""
    return code_of(passwords.signed_in, name, password, origin)


def code_of(action: Callable[..., Any], *args: Any, **given: Any) -> str:
    """The code that an action is refused with; empty where it is not."""
    try:
        action(*args, **given)
    except Refusal as no:
        return no.code
    return ""


def attack(name: str, times: int = 8, origin: Origin = AWAY) -> list[str]:
    """Guesses at somebody's password, one after the other."""
    return [enter(name, f"an invented guess {number}", origin) for number in range(times)]


def test_sixty_wrong_passwords_and_the_right_one_is_not_judged(yard: Yard) -> None:
    """Finding B2: the sign-in page took as many as anybody sent."""
    attack(yard.ada.username, 60)
    assert enter(yard.ada.username, PASSWORD, AWAY) == "too-many-attempts"


def test_an_attacker_elsewhere_does_not_lock_the_owner_out_where_they_are_known(
    yard: Yard,
) -> None:
    """Neither on the tablet nor at home; a place that nobody knows has to wait."""
    name = yard.ada.username
    assert [enter(name, PASSWORD, one) for one in (ON_TABLET, HOME)] == ["", ""]
    assert attack(name)[-1] == "too-many-attempts"
    assert [enter(name, PASSWORD, one) for one in (ON_TABLET, HOME)] == ["", ""]
    assert enter(name, PASSWORD, Origin("198.51.100.9")) == "too-many-attempts"


def test_a_colleagues_mistakes_at_the_same_address_cost_the_owner_nothing(yard: Yard) -> None:
    """The whole yard is behind one address: strangers there wait, who is known does not."""
    enter(yard.ada.username, PASSWORD, YARD)
    assert all(enter(f"nobody-{n}", "an invented guess", YARD) for n in range(20))
    assert enter(yard.ben.username, PASSWORD, YARD) == "too-many-attempts"
    assert enter(yard.ada.username, PASSWORD, YARD) == ""


def test_one_password_tried_on_many_names_ends_after_twenty(yard: Yard) -> None:
    """By address, whoever they are for; from another address it goes on."""
    tried = [enter(f"nobody-{n}", "an invented guess", AWAY) for n in range(21)]
    assert tried == ["sign-in-wrong"] * 20 + ["too-many-attempts"]
    assert enter("nobody-22", "an invented guess", HOME) == "sign-in-wrong"


def test_guessing_on_the_tablet_itself_ends_too(yard: Yard) -> None:
    """Who is known there has five of their own, and gets no more elsewhere by it."""
    enter(yard.ada.username, PASSWORD, ON_TABLET)
    assert attack(yard.ada.username, 6, ON_TABLET) == ["sign-in-wrong"] * 5 + ["too-many-attempts"]


def test_pins_and_the_password_that_confirms_a_change_have_attempts_of_their_own(
    yard: Yard,
) -> None:
    """Finding B2: the change of a PIN tested passwords at the rate of any command."""
    new = {"actor": yard.ada, "pin": "7302", "origin": HOME}
    wrong = [code_of(people.change_pin, password="an invented guess", **new) for _ in range(6)]
    assert wrong == ["password-wrong"] * 5 + ["too-many-attempts"]
    right = {"actor": yard.ada, "password": PASSWORD, "origin": HOME}
    assert code_of(people.change_pin, pin="7302", **right) == "too-many-attempts"
    code = code_of(people.change_password, new="another invented long word", **right)
    assert code == "too-many-attempts"
    assert code_of(pins.confirm, actor=yard.ada, pin=PIN, origin=HOME) == ""
    assert enter(yard.ada.username, PASSWORD, HOME) == ""


def test_a_changed_password_ends_every_sign_in_and_makes_every_place_unknown(yard: Yard) -> None:
    """Whoever had the old one has no attempts of their own any more."""
    name = yard.ada.username
    enter(name, PASSWORD, ON_TABLET)
    assert places.people_on(TABLET) == [yard.ada]
    new = "another invented long word"
    people.change_password(actor=yard.ada, password=PASSWORD, new=new, origin=ON_TABLET)
    assert places.people_on(TABLET) == []
    attack(name)
    assert enter(name, new, ON_TABLET) == "too-many-attempts"


def test_a_place_is_remembered_for_thirty_days(yard: Yard) -> None:
    """Then the password is to be given again; what is past is cleared away."""
    with clock() as now:
        enter(yard.ada.username, PASSWORD, ON_TABLET)
        now.wait(30 * 24 * 3600 - 1)
        assert places.people_on(TABLET) == [yard.ada]
        clear_past()
        assert PasswordGiven.objects.count() == 2
        now.wait(1)
        assert places.people_on(TABLET) == []
        places.clear_past()
        assert not PasswordGiven.objects.exists()


def test_clearing_happens_once_an_hour_and_takes_forgotten_attempts_along(yard: Yard) -> None:
    """What a flood of made-up names leaves behind is gone after a shift."""
    with clock() as now:
        attack("nobody-at-all", 1)
        clear_past()
        now.wait(8 * 3600)
        clear_past()
        assert Attempt.objects.count() == 2
    cache.clear()
    clear_past()
    assert not Attempt.objects.exists()


@contextmanager
def counted_hashes(held: list[str]) -> Iterator[None]:
    """Each hash that is computed meanwhile."""
    encode = MD5PasswordHasher.encode

    def counted(self: MD5PasswordHasher, password: str, salt: str) -> str:
        held.append(salt)
        return encode(self, password, salt)

    with patch.object(MD5PasswordHasher, "encode", counted):
        yield


def test_a_name_that_nobody_has_is_answered_alike_at_the_same_cost(yard: Yard) -> None:
    """The same words, the same statements, and a hash is computed each time."""
    yard.ben.is_active = False
    yard.ben.save(update_fields=["is_active"])
    answers: list[tuple[str, int, int]] = []
    for name in (yard.ada.username, "nobody-at-all", yard.ben.username):
        hashes: list[str] = []
        with CaptureQueriesContext(connection) as captured, counted_hashes(hashes):
            code = enter(name, "an invented guess", Origin(f"198.51.100.{len(answers)}"))
        answers.append((code, len(captured), len(hashes)))
    assert answers[0] == answers[1] == answers[2] == ("sign-in-wrong", answers[0][1], 1)


def test_no_row_holds_a_name_or_an_address(yard: Yard) -> None:
    """A password typed for a name by mistake, and where somebody lives, are not kept."""
    attack("hunter2-by-mistake", 1)
    enter(yard.ada.username, PASSWORD, HOME)
    rows = [*Attempt.objects.values_list("key", flat=True)]
    rows += PasswordGiven.objects.values_list("place", flat=True)
    assert not any("hunter2" in row or "192.0.2" in row for row in rows)


def test_nobody_else_checks_a_secret(yard: Yard) -> None:
    """Whatever compares a password or a PIN stands in two modules, behind the attempts."""
    import ast

    from tests.architecture.tree import modules

    judges = {"authenticate", "check_password", "acheck_password", "verify_password"}
    allowed = {"prep/actions/accounts/passwords.py", "prep/actions/accounts/pins.py"}
    found = {
        name
        for name, path in modules()
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call)
        and getattr(node.func, "attr", getattr(node.func, "id", "")) in judges
    }
    # The account itself calls the library's function, in the place of its base class.
    assert found == allowed | {"prep/models/people.py"}


def test_nobody_switches_to_somebody_whose_account_is_suspended(yard: Yard) -> None:
    """Their password was given on the tablet, and their PIN is still right."""
    for who in (yard.ada, yard.ben):
        enter(who.username, PASSWORD, ON_TABLET)
    assert places.people_on(TABLET) == [yard.ada, yard.ben]
    suspend = SuspendPerson(reason="Badge was lost (invented).")
    perform(suspend, actor=yard.otto, target=str(yard.ada.pk))
    assert places.people_on(TABLET) == [yard.ben]
    assert code_of(pins.switched_to, yard.ada.username, PIN, ON_TABLET) == "not-on-this-device"
