"""The yard's device that a browser is: its cookie, and the session that is on it.

The cookie holds the device's id and key, for no script to read. The session holds the id, so that a
signed-in request costs no look at the table: a device that is revoked has no sessions.
"""

from collections.abc import Callable
from typing import Final
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from prep.actions.accounts.devices import device_of, heard_of
from prep.actions.accounts.origin import Origin, sender
from prep.actions.accounts.session_store import DEVICE
from prep.models import Device
from prep.record.refusal import Refusal

COOKIE: Final = "yardproof-device"
LIFE: Final = 400 * 24 * 60 * 60  # the longest that browsers keep one; each sign-in renews it


class DeviceContact:
    """Middleware that notes when a device of the yard was last heard of."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer; once in a few minutes with a word to the table."""
        if device := _of_session(request):
            heard_of(device)
        return self.get_response(request)


def device_here(request: HttpRequest) -> Device | None:
    """The yard's device that this browser is; None where it is none, or none any more."""
    try:
        return device_of(request.COOKIES[COOKIE]) if COOKIE in request.COOKIES else None
    except Refusal:
        return None


def origin_of(request: HttpRequest) -> Origin:
    """Where a request comes from: the client's address, and the device."""
    if request.user.is_authenticated:
        return Origin(sender(request.META), _of_session(request))
    device = device_here(request)
    return Origin(sender(request.META), device.pk if device else None)


def remember_device(request: HttpRequest, response: HttpResponse) -> None:
    """Put a new session on the device that the browser is, and keep its cookie for longer."""
    if device := device_here(request):
        request.session[DEVICE] = str(device.pk)
        set_cookie(response, request.COOKIES[COOKIE])
        heard_of(device.pk)
    elif COOKIE in request.COOKIES:
        response.delete_cookie(COOKIE)


def set_cookie(response: HttpResponse, value: str) -> None:
    """Give the browser a device's id and key."""
    response.set_cookie(
        COOKIE,
        value,
        max_age=LIFE,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def _of_session(request: HttpRequest) -> UUID | None:
    device = request.session.get(DEVICE)
    return UUID(device) if device else None
