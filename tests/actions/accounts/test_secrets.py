"""What a password and a PIN may be, wherever they are set."""

import pytest

from prep.actions import people
from prep.actions.accounts import pins
from prep.actions.accounts.origin import HERE
from prep.models import Person
from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import PASSWORD, PIN, Yard
from tests.refusals import refused

NEW = {"username": "pat", "printed_name": "Pat Oakhollow"}


@pytest.mark.parametrize(
    ("password", "code"),
    [
        ("", "password-too-short"),
        ("nine char", "password-too-short"),
        ("1234567890", "password-common"),
        ("pat oakhollow", "password-like-name"),
        ("Pat.Oakhollow!", "password-like-name"),
        ("x y" * 40 + "z", "password-too-long"),
    ],
)
def test_an_easy_password_is_refused_wherever_it_is_set(
    yard: Yard, password: str, code: str
) -> None:
    """Finding B3: an empty one could be enrolled, and signed in."""
    refused(code, people.enroll, password=password, pin=PIN, **NEW)
    assert not Person.objects.filter(username="pat").exists()
    pat = people.enroll(password=PASSWORD, pin=PIN, **NEW)
    refused(code, people.set_password, pat, password)
    refused(code, people.change_password, actor=pat, password=PASSWORD, new=password)
    pat.refresh_from_db()
    assert pat.check_password(PASSWORD)


@pytest.mark.parametrize(
    ("pin", "code"),
    [
        ("", "pin-unfit"),
        ("471", "pin-unfit"),
        ("4711471147114", "pin-unfit"),
        ("47 11", "pin-unfit"),
        ("47a1", "pin-unfit"),
        ("٤٧١١", "pin-unfit"),  # Arabic digits: finding G4
        ("4²11", "pin-unfit"),
        ("0000", "pin-easy"),
        ("777777", "pin-easy"),
        ("1234", "pin-easy"),
        ("345678", "pin-easy"),
        ("7890", "pin-easy"),
        ("9876", "pin-easy"),
        ("3210", "pin-easy"),
        ("0987", "pin-easy"),
        ("1987", "pin-easy"),
        ("2004", "pin-easy"),
    ],
)
def test_an_easy_pin_is_refused_wherever_it_is_set(yard: Yard, pin: str, code: str) -> None:
    """Nothing is set; the old one still signs."""
    refused(code, people.enroll, password=PASSWORD, pin=pin, **NEW)
    refused(code, people.change_pin, actor=yard.ada, password=PASSWORD, pin=pin)
    assert not Person.objects.filter(username="pat").exists()
    pins.confirm(actor=Person.objects.get(pk=yard.ada.pk), pin=PIN, origin=HERE)


def test_a_pin_is_not_the_user_name(yard: Yard) -> None:
    """Somebody whose user name is a staff number."""
    named = {"username": "48213", "printed_name": "Pat Oakhollow", "password": PASSWORD}
    refused("pin-easy", people.enroll, pin="48213", **named)
    assert people.enroll(pin="48214", **named).pin


def test_how_many_pins_of_four_digits_there_are_to_choose_from() -> None:
    """10,000 without ten of one digit, twenty runs and two hundred years."""
    fit = 0
    for number in range(10_000):
        try:
            pins.check(f"{number:04}", "")
            fit += 1
        except Refusal:
            pass
    assert fit == 10_000 - 10 - 20 - 200


def test_the_refusal_says_what_to_do_next() -> None:
    """As the person at the tablet reads it."""
    said = {
        code: refusal_text(Refusal(code), ENGLISH)
        for code in ("password-too-short", "password-common", "pin-easy", "sign-in-wrong")
    }
    assert said == {
        "password-too-short": "A password has at least 10 characters. Choose a longer one.",
        "password-common": "Many people use that password. Choose another.",
        "pin-easy": "That PIN is easy to guess. Choose one that is not a single digit repeated, a "
        "run such as 1234, a year, or your user name.",
        "sign-in-wrong": "Wrong name or password. Check both and try again.",
    }


def test_a_wrong_password_changes_no_pin(yard: Yard) -> None:
    """And the attempt is counted."""
    refused(
        "password-wrong", people.change_pin, actor=yard.ada, password="not it at all", pin="7302"
    )
    pins.confirm(actor=Person.objects.get(pk=yard.ada.pk), pin=PIN, origin=HERE)
