"""The page on which somebody invited chooses password and PIN, with a link or a code."""

from typing import Final
from uuid import UUID, uuid4

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.people import invited, join
from prep.actions.submission import Submission
from prep.models import Invitation
from prep.pages.device_cookie import origin_of
from prep.pages.forms import new_command, text_of
from prep.pages.reader_language import language_of
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.words.reader import Reader
from prep.words.refusals import refusal_text

# Fields of what is chosen, beside the link or the code.
_CHOSEN: Final = frozenset(
    {"password", "password_again", "pin", "new_pin", "pin_again", "language"}
)


JOINED: Final = "joined"  # in the session of whoever just joined: the user name, until it is shown


def joining(request: HttpRequest, secret: str = "") -> HttpResponse:
    """Ask for the code where there is no link; show whose account it opens, or open it."""
    typed = secret or text_of(request, "code")
    refusal: Refusal | None = None
    invitation: Invitation | None = None
    if typed:
        try:
            if "password" in request.POST:
                request.session[JOINED] = _join(request, typed)
                return redirect("joined")
            invitation = invited(typed, origin_of(request))
        except Refusal as no:
            refusal = no
            invitation = _still_open(typed, no)
    reader = Reader(language=language_of(request))
    page = {
        "secret": secret,
        "code": "" if secret else typed,
        "invitation": invitation,
        "resets": invitation is not None and invitation.purpose == "reset",
        "languages": settings.LANGUAGES,
        "chosen": text_of(request, "language") or _language(invitation, reader),
        "command_id": request.POST.get("command") or new_command(),
        "refusal": refusal_text(refusal, reader) if refusal else "",
    }
    return render(request, "people/join.html", page, status=_status(refusal))


def _join(request: HttpRequest, typed: str) -> str:
    password, pin = request.POST.get("password", ""), text_of(request, "pin")
    if password != request.POST.get("password_again", ""):
        raise Refusal("not-the-same-password", field="password_again")
    if pin != text_of(request, "pin_again"):
        raise Refusal("not-the-same-pin", field="pin_again")
    try:
        command = UUID(request.POST.get("command", ""))
    except ValueError:
        command = uuid4()
    person = join(
        typed,
        password=password,
        pin=pin,
        language=text_of(request, "language"),
        submission=Submission(command, device="page", origin=origin_of(request)),
    )
    return person.username


def _still_open(typed: str, no: Refusal) -> Invitation | None:
    """The invitation, to show the form again, where only what was chosen was refused."""
    if no.field not in _CHOSEN:
        return None
    return invited(typed)


def _language(invitation: Invitation | None, reader: Reader) -> str:
    return invitation.person.language if invitation else reader.language


def _status(refusal: Refusal | None) -> int:
    if refusal is None:
        return 200
    return 429 if refusal.refusal_class is RefusalClass.TOO_MANY else 409


def joined(request: HttpRequest) -> HttpResponse:
    """Say once, to whoever just joined, that the account is open; anybody else is to sign in."""
    username = request.session.pop(JOINED, "")
    if not username:
        return redirect("sign-in")
    return render(request, "people/joined.html", {"username": username})
