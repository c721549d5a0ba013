"""Signing in by the API, and the attempts it takes."""

from typing import Any

from tests.actions.accounts.clock import clock
from tests.api.client import Answer, Api
from tests.cast import PASSWORD, PIN, Yard, seen


def sign_in(api: Api, name: str, password: str = PASSWORD, **headers: str) -> Answer:
    """Ask for a token."""
    body: Any = {"username": name, "password": password}
    return api.send("POST", "sign-in", headers=headers, body=body, anonymous=True)


def test_a_wrong_password_and_a_name_nobody_has_are_answered_alike(api: Api, yard: Yard) -> None:
    """401 each, with the same problem."""
    wrong = sign_in(api, yard.ada.username, "an invented guess")
    nobody = sign_in(api, "nobody-at-all", "an invented guess")
    assert (wrong.status, wrong.code) == (401, "sign-in-wrong")
    assert wrong.headers["WWW-Authenticate"] == "Token"
    assert wrong.body == nobody.body


def test_after_five_wrong_ones_the_answer_says_how_many_seconds_to_wait(
    api: Api, yard: Yard
) -> None:
    """429 with Retry-After, then the right one is judged again."""
    with clock() as now:
        for _ in range(5):
            sign_in(api, yard.ada.username, "an invented guess")
        answer = sign_in(api, yard.ada.username)
        assert (answer.status, answer.code) == (429, "too-many-attempts")
        assert (answer.headers["Retry-After"], answer.body["seconds"]) == ("30", 30)
        now.wait(30)
        assert sign_in(api, yard.ada.username).status == 200


def test_the_pin_of_a_signature_and_a_change_of_it_wait_too(api: Api, yard: Yard) -> None:
    """Each apart: whoever spoiled the one may still do the other."""
    unit = yard.started()
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked")
    sign = {"step": "block", "seen": seen(unit, "block")}
    path = f"units/{unit}/step/sign"
    for _ in range(5):
        assert api.post(path, {**sign, "pin": "9034"}).code == "pin-wrong"
    signed = api.post(path, {**sign, "pin": PIN})
    assert (signed.status, signed.headers["Retry-After"]) == (429, "30")
    change = {"password": "an invented guess", "pin": "7302"}
    for _ in range(5):
        assert api.post("me/pin", change).code == "password-wrong"
    changed = api.post("me/pin", {**change, "password": PASSWORD})
    assert (changed.status, changed.code) == (429, "too-many-attempts")
    assert sign_in(api, yard.ada.username).status == 200
