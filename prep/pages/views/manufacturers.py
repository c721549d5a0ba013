"""The pages of the list of manufacturers: look at it, add one, correct one."""

from typing import Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.perform import perform
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import new_command, person, signed_in, submission_of
from prep.pages.refusals import shown_refusal
from prep.queries.manufacturers import all_manufacturers, manufacturer_by_id
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.command import Command
from prep.record.manufacturer.commands import AddManufacturer, CorrectManufacturer
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert_texts
from prep.record.unit.state import Record

NO_UNIT: Final = Record({})


@signed_in
def manufacturers(request: HttpRequest) -> HttpResponse:
    """Show the manufacturers with their other spellings."""
    roles = sites_of(person(request)).values()
    if not any(may_read("model.view", held) for held in roles):
        raise Http404
    page = {
        "manufacturers": all_manufacturers(),
        "may_change": any(AddManufacturer.permission.roles & held for held in roles),
    }
    return render(request, "manufacturers.html", page)


@signed_in
def add(request: HttpRequest) -> HttpResponse:
    """Show the form to add a manufacturer, or add it."""
    return _given(request, AddManufacturer, None, {})


@signed_in
def correct(request: HttpRequest, manufacturer: UUID) -> HttpResponse:
    """Show the form to correct a manufacturer's name, or correct it."""
    try:
        present = manufacturer_by_id(manufacturer)
    except Refusal as no:
        raise Http404 from no
    filled = {"name": present.name, "aliases": ", ".join(present.aliases)}
    return _given(request, CorrectManufacturer, manufacturer, filled)


def _given(
    request: HttpRequest, command: type[Command], target: UUID | None, filled: dict[str, str]
) -> HttpResponse:
    who = person(request)
    if not any(command.permission.roles & held for held in sites_of(who).values()):
        raise Http404
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            given = convert_texts(read_form(command, request.POST), command)
            perform(given, actor=who, target=target, submission=submission_of(request))
        except Refusal as no:
            refusal = no
        else:
            return redirect("manufacturers")
    reader = reader_of(who)
    page = {
        "command": in_words(command, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(command, NO_UNIT, request.POST, filled, reader),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "manufacturer.html", page, status=409 if refusal else 200)
