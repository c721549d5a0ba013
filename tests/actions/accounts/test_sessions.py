"""Sessions belong to somebody, and end when they are ended."""

from datetime import timedelta
from uuid import UUID

import pytest
from django.contrib.sessions.exceptions import SessionInterrupted
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.utils import timezone

from prep.actions.accounts import tokens
from prep.actions.accounts.session_store import DEVICE, SessionStore
from prep.actions.accounts.sessions import (
    clear_expired,
    sign_out_device,
    sign_out_everywhere,
)
from prep.models import Session, Token
from tests.cast import Yard
from tests.pages.visitor import signed_in

TABLET = "0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"


def asks_who(client: Client) -> bool:
    """Whether the yard's page sends this browser to sign in."""
    answer = client.get("/")
    return answer.status_code == 302 and answer["Location"].startswith("/sign-in")


def test_signing_somebody_out_everywhere_ends_their_sessions_and_tokens_only(yard: Yard) -> None:
    """Two browsers and a token of Ada's end; Ben's go on."""
    hers, also_hers, his = signed_in(yard.ada), signed_in(yard.ada), signed_in(yard.ben)
    tokens.sign_in(yard.ada)
    tokens.sign_in(yard.ben)
    sign_out_everywhere(yard.ada)
    assert [asks_who(one) for one in (hers, also_hers, his)] == [True, True, False]
    assert [token.person for token in Token.objects.all()] == [yard.ben]


def test_a_session_ends_with_the_device_it_is_on(yard: Yard) -> None:
    """The tablet's session ends; the same person's at the desk goes on."""
    tablet, desk = signed_in(yard.ada), signed_in(yard.ada)
    session = tablet.session
    session[DEVICE] = TABLET
    session.save()
    assert Session.objects.filter(device=TABLET, person=yard.ada).count() == 1
    sign_out_device(UUID(TABLET))
    assert [asks_who(tablet), asks_who(desk)] == [True, False]


def test_a_request_under_way_does_not_bring_an_ended_session_back(yard: Yard) -> None:
    """It had read the session before it was ended, and writes it after."""
    client = signed_in(yard.ada)
    held = SessionStore(client.session.session_key)
    assert held["_auth_user_id"] == str(yard.ada.pk)
    sign_out_everywhere(yard.ada)
    held["late"] = "yes"
    request: HttpRequest = RequestFactory().get("/")
    request.session = held
    with pytest.raises(SessionInterrupted):
        _saved(request)
    assert not Session.objects.exists()
    assert asks_who(client)


def _saved(request: HttpRequest) -> HttpResponse:
    """What the sessions' middleware does when an answer leaves."""
    from django.contrib.sessions.middleware import SessionMiddleware

    return SessionMiddleware(lambda _: HttpResponse()).process_response(request, HttpResponse())


def test_the_session_of_a_suspended_person_is_nobodys(yard: Yard) -> None:
    """At once, whatever else is done about it."""
    client = signed_in(yard.ada)
    yard.ada.is_active = False
    yard.ada.save(update_fields=["is_active"])
    assert asks_who(client)


def test_a_new_password_ends_the_sessions_that_the_old_one_began(yard: Yard) -> None:
    """Django holds each session to the hash of the password."""
    client = signed_in(yard.ada)
    yard.ada.set_password("another invented long word")
    yard.ada.save(update_fields=["password"])
    assert asks_who(client)


def test_signing_in_gives_a_session_a_new_key(yard: Yard) -> None:
    """So a key that somebody planted before is worthless."""
    client = Client()
    client.get("/sign-in")
    planted = SessionStore()
    planted["planted"] = "yes"
    planted.create()
    client.cookies["sessionid"] = planted.session_key or ""
    client.post("/sign-in", {"username": yard.ada.username, "password": "an invented long word"})
    assert client.cookies["sessionid"].value != planted.session_key
    assert not Session.objects.filter(pk=planted.session_key).exists()


def test_sessions_that_are_over_are_cleared_away(yard: Yard) -> None:
    """The others stay."""
    signed_in(yard.ada)
    signed_in(yard.ben)
    Session.objects.filter(person=yard.ada).update(
        expire_date=timezone.now() - timedelta(seconds=1)
    )
    clear_expired()
    assert [one.person for one in Session.objects.all()] == [yard.ben]
