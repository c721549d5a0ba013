"""The page of your own settings: language, units, numbers, contact, password, PIN, sign-ins."""

from typing import Any, Final
from urllib.parse import urlencode

from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse

from prep.actions.people import change_password, change_pin
from prep.actions.perform import perform
from prep.models import Person
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.device_cookie import origin_of
from prep.pages.forms import new_command, person, signed_in, submission_of, text_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.people.account import NO_UNIT
from prep.queries.readers import reader_of
from prep.record.command import Command
from prep.record.person.commands.access import SignOutEverywhere
from prep.record.person.commands.settings import ChangeContact, Prefer
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert_texts

NOTHING: Final = QueryDict()
OWN: Final[dict[str, type[Command]]] = {
    command.tag(): command for command in (Prefer, ChangeContact, SignOutEverywhere)
}


@signed_in
def own_settings(request: HttpRequest) -> HttpResponse:
    """Show your settings."""
    return _page(request, "", None)


@signed_in
def own_command(request: HttpRequest, name: str) -> HttpResponse:
    """Carry out one of the forms of your settings."""
    if request.method != "POST" or name not in {*OWN, "password", "pin"}:
        raise Http404
    who = person(request)
    try:
        if name == "password":
            _change_password(request, who)
        elif name == "pin":
            _change_pin(request, who)
        else:
            given = convert_texts(read_form(OWN[name], request.POST), OWN[name])
            perform(given, actor=who, target=who.pk, submission=submission_of(request))
    except Refusal as no:
        return _page(request, name, no)
    return redirect(f"{reverse('own-settings')}?{urlencode({'saved': name})}")


def _change_password(request: HttpRequest, who: Person) -> None:
    """Every sign-in ends; whoever just gave the password goes on in a new session."""
    new = request.POST.get("new", "")
    if new != request.POST.get("new_again", ""):
        raise Refusal("not-the-same-password", field="new_again")
    change_password(
        actor=who, password=request.POST.get("password", ""), new=new, origin=origin_of(request)
    )
    request.session.flush()
    login(request, who, backend="django.contrib.auth.backends.ModelBackend")


def _change_pin(request: HttpRequest, who: Person) -> None:
    pin = text_of(request, "new")
    if pin != text_of(request, "new_again"):
        raise Refusal("not-the-same-pin", field="new_again")
    change_pin(
        actor=who, password=request.POST.get("password", ""), pin=pin, origin=origin_of(request)
    )


def _page(request: HttpRequest, name: str, refusal: Refusal | None) -> HttpResponse:
    """The settings; a form that was refused has what was typed in it, and says why."""
    who = person(request)
    reader = reader_of(who)
    filled: dict[str, dict[str, str]] = {
        Prefer.tag(): {
            "language": who.language,
            "units": who.units,
            "numbers": {None: "", True: "comma", False: "point"}[who.decimal_comma],
        },
        ChangeContact.tag(): {"email": who.email, "phone": who.phone},
    }
    forms: list[dict[str, Any]] = [
        {
            "command": in_words(command, reader),
            "command_id": new_command(),
            "fields": shown_fields(
                command,
                NO_UNIT,
                request.POST if tag == name else NOTHING,
                filled.get(tag, {}),
                reader,
            ),
        }
        for tag, command in OWN.items()
        if command is not SignOutEverywhere  # sent as it is: the answer is the sign-in page
    ]
    page = {
        "forms": forms,
        "sign_out": in_words(SignOutEverywhere, reader),
        "refused": name,
        "saved": request.GET.get("saved", "") in {*OWN, "password", "pin"},
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "people/settings.html", page, status=409 if refusal else 200)
