"""The yards: what they are called, where they are, when they are open, what they print."""

from collections.abc import Callable
from typing import Any, Final

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render

from prep.actions.beside_the_log.picture_files import open_logo
from prep.actions.perform import perform
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import new_command, person, picture_of, signed_in, submission_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.people.account import NO_UNIT
from prep.pages.views.yards.typed_lines import (
    closed_from,
    closed_text,
    hours_from,
    hours_text,
    lines_from,
)
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites, yard_at
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.details import WEEKDAYS
from prep.record.site.state import YardState
from prep.record.site.yard_commands import (
    DescribeSite,
    OpenSite,
    RemoveLogo,
    SetHolidays,
    SetHours,
    SetLetterhead,
    SetLogo,
)
from prep.record.struct_errors import convert_texts
from prep.words.yards.days import weekday_text

CHANGES: Final[dict[str, type[Command]]] = {
    command.tag(): command
    for command in (DescribeSite, SetHours, SetHolidays, SetLetterhead, SetLogo, RemoveLogo)
}
# Values that a form has in lines of its own.
TYPED: Final[dict[type[Command], Callable[[Any], dict[str, Any]]]] = {
    SetHours: lambda sent: {"hours": hours_from(sent)},
    SetHolidays: lambda sent: {"closed": closed_from(str(sent.get("closed", "")))},
    SetLetterhead: lambda sent: {"lines": lines_from(str(sent.get("lines", "")))},
}


@signed_in
def yards(request: HttpRequest) -> HttpResponse:
    """Show the yards where a person works."""
    held = sites_of(person(request))
    page = {
        "yards": named_sites(held),
        "may_open": any(Role.ADMINISTRATOR in roles for roles in held.values()),
    }
    return render(request, "yards/yards.html", page)


@signed_in
def open_yard(request: HttpRequest) -> HttpResponse:
    """Show the form to open another yard, or open it."""
    held = sites_of(person(request))
    if not any(Role.ADMINISTRATOR in roles for roles in held.values()):
        raise Http404
    like = next(iter(named_sites(held)))
    filled = {"dealer": like.dealer, "time_zone": like.time_zone}
    site = request.POST.get("site", "").strip()
    return _given(request, OpenSite, None, filled, {"site": site}, site or "")


@signed_in
def yard(request: HttpRequest, site: str) -> HttpResponse:
    """Show one yard."""
    state, administers = _seen(request, site)
    reader = reader_of(person(request))
    hours = [(weekday_text(day, reader), hours_text(state, day)) for day in WEEKDAYS]
    page = {
        "yard": state,
        "commands": [in_words(one, reader) for one in _offered(state)] if administers else [],
        "hours": hours if state.hours else [],
    }
    return render(request, "yards/yard.html", page)


def _offered(state: YardState) -> list[type[Command]]:
    """What may be changed as things stand: a logo is removed only where there is one."""
    return [one for one in CHANGES.values() if one is not RemoveLogo or state.logo]


@signed_in
def change(request: HttpRequest, site: str, name: str) -> HttpResponse:
    """Show the form of a command on a yard, or give it."""
    command = CHANGES.get(name)
    state, administers = _seen(request, site)
    if command is None or not administers:
        raise Http404
    reader = reader_of(person(request))
    filled = {
        **{name: str(getattr(state.details, name)) for name in state.details.__struct_fields__},
        "closed": closed_text(state),
        "lines": "\n".join(state.letterhead),
    }
    if command is SetHolidays:
        filled |= {
            "country": state.country or state.details.country,
            "region": state.region or state.details.region,
        }
    sent = request.POST
    hours = [
        (day, weekday_text(day, reader), sent.get(day, hours_text(state, day))) for day in WEEKDAYS
    ]
    more = {"hours": hours} if command is SetHours else {}
    return _given(request, command, site, filled, {}, site, **more)


@signed_in
def logo(request: HttpRequest, site: str) -> HttpResponseBase:
    """The picture that a yard prints now."""
    state, _ = _seen(request, site)
    if state.logo is None:
        raise Http404
    try:
        return FileResponse(open_logo(state.logo.digest), content_type="image/png")
    except Refusal as no:
        raise Http404 from no


def _seen(request: HttpRequest, site: str) -> tuple[YardState, bool]:
    """A yard where the person works, and whether they administer it; 404 for anybody else."""
    roles = sites_of(person(request)).get(site)
    if roles is None:
        raise Http404
    return yard_at(site), Role.ADMINISTRATOR in roles


def _given(
    request: HttpRequest,
    command: type[Command],
    target: str | None,
    filled: dict[str, str],
    more: dict[str, Any],
    site: str,
    **shown: Any,
) -> HttpResponse:
    who = person(request)
    reader, refusal = reader_of(who), None
    if request.method == "POST":
        try:
            typed = TYPED.get(command, lambda sent: {})(request.POST)
            values = {**read_form(command, request.POST), **typed, **more}
            if "country" in values:  # `us` is clear to everybody; the record has capitals
                values["country"] = str(values["country"]).strip().upper()
            picture = picture_of(request) if command.attachment else None
            given = convert_texts(values, command)
            sending = submission_of(request)
            perform(given, actor=who, target=target, submission=sending, attachment=picture)
        except Refusal as no:
            refusal = no
        else:
            return redirect("yard-details", site)
    page = {
        "command": in_words(command, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": [
            field
            for field in shown_fields(command, NO_UNIT, request.POST, filled, reader)
            if field["name"] != "hours"
        ],
        "site": site,
        "opens": command is OpenSite,
        "picture": bool(command.attachment),
        "refusal": shown_refusal(refusal, request) if refusal else None,
        **shown,
    }
    return render(request, "yards/command.html", page, status=409 if refusal else 200)
