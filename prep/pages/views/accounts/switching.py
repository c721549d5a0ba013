"""Switching user by PIN, on a device of the yard.

Who gave their password on it within 30 days is offered; everybody else signs in with it. Signing a
second check in another's place, without switching, comes with the yard's pages.
"""

from typing import Final

from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme

from prep.actions.accounts.devices import device_of
from prep.actions.accounts.pins import switched_to
from prep.actions.accounts.places import people_on
from prep.pages.device_cookie import COOKIE, origin_of, remember_device
from prep.pages.forms import text_of
from prep.pages.reader_language import language_of
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.words.reader import Reader
from prep.words.refusals import refusal_text

BACKEND: Final = "django.contrib.auth.backends.ModelBackend"


def switch_user(request: HttpRequest) -> HttpResponse:
    """Show who may switch to themselves here, or switch and go back to where they were."""
    back = _back_to(request)
    try:
        device = device_of(request.COOKIES.get(COOKIE, ""))
    except Refusal as no:
        return _page(request, {"refused": _said(no, request)}, 403)
    refused = None
    if request.method == "POST":
        try:
            origin = origin_of(request)
            person = switched_to(text_of(request, "username"), text_of(request, "pin"), origin)
        except Refusal as no:
            refused = no
        else:
            login(request, person, backend=BACKEND)
            switched = redirect(back)
            remember_device(request, switched)
            return switched
    shown: dict[str, object] = {
        "enrolled": True,
        "people": people_on(device.pk),
        "chosen": text_of(request, "username"),
        "refused": _said(refused, request) if refused else "",
        "next": back,
    }
    answer = _page(request, shown, 403 if refused else 200)
    if refused is not None and refused.refusal_class is RefusalClass.TOO_MANY:
        answer.status_code = 429
        answer["Retry-After"] = str(refused.details["seconds"])
    return answer


def _page(request: HttpRequest, shown: dict[str, object], status: int) -> HttpResponse:
    return render(request, "switch_user.html", shown, status=status)


def _said(no: Refusal, request: HttpRequest) -> str:
    return refusal_text(no, Reader(language=language_of(request)))


def _back_to(request: HttpRequest) -> str:
    """The page to go back to: one of ours, else the yard's."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    own = {request.get_host()}
    if url_has_allowed_host_and_scheme(wanted, own, require_https=request.is_secure()):
        return wanted
    return resolve_url("yard")
