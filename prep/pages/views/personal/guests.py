"""The yard's guests: admit one, show the link, see what was opened, end the visit."""

from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from prep.actions.beside_the_log.guests import goes_on, secret_of
from prep.actions.perform import perform
from prep.actions.readings.personal import How, Shown, show
from prep.models import Guest
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import (
    new_command,
    person,
    signed_in,
    submission_of,
    text_of,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.queries.people import roles_at, sites_of
from prep.queries.personal.guests import guest_at, looked_at_by
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.queries.units import plates_of, units_with_serials
from prep.record.command import Command
from prep.record.guest.commands import LONGEST, AdmitGuest, EndGuest, EraseGuest
from prep.record.personal import Personal, may_see
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.struct_errors import convert_texts
from prep.record.unit.state import Record
from prep.words.personal.shown import how_text, sort_text

COMMANDS: Final[dict[str, type[Command]]] = {one.tag(): one for one in (EndGuest, EraseGuest)}


@signed_in
def admit(request: HttpRequest) -> HttpResponse:
    """Show the form to admit a guest, or admit one."""
    sites = [
        site
        for site, roles in sites_of(person(request)).items()
        if roles & AdmitGuest.permission.roles
    ]
    if not sites:
        raise Http404
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            admitted = _admit(request)
        except Refusal as no:
            refusal = no
        else:
            return redirect("guest", admitted)
    page = {
        "command": in_words(AdmitGuest, reader_of(request.user)),
        "command_id": request.POST.get("command") or new_command(),
        "sites": named_sites(sites),
        "longest": LONGEST,
        "typed": request.POST,
        "serials": request.POST.get("serials", request.GET.get("serials", "")),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "guest_admit.html", page, status=409 if refusal else 200)


def _admit(request: HttpRequest) -> UUID:
    site = text_of(request, "site")
    serials = [one.strip() for one in text_of(request, "serials").split(",") if one.strip()]
    known = units_with_serials(site, serials)
    if missing := [one for one in serials if one not in known]:
        raise Refusal("no-such-units", field="units", units=missing[:5])
    values = {name: text_of(request, name) for name in ("name", "organization", "days", "why")}
    units = [str(known[one]) for one in serials]
    command = convert_texts({**values, "site": site, "units": units}, AdmitGuest)
    return UUID(perform(command, actor=person(request), submission=submission_of(request)).target)


@signed_in
def guest(request: HttpRequest, guest: UUID) -> HttpResponse:
    """Show a guest: to what, until when, what was opened, and the link until it is used."""
    return _page(request, *_seen(request, guest))


@signed_in
def act(request: HttpRequest, guest: UUID, name: str) -> HttpResponse:
    """End a guest's visit, or erase the name of one whose visit is over."""
    found, roles = _seen(request, guest)
    command = COMMANDS.get(name)
    if request.method != "POST" or command is None or not roles & command.permission.roles:
        raise Http404
    try:
        given = convert_texts(read_form(command, request.POST), command)
        perform(given, actor=person(request), target=guest, submission=submission_of(request))
    except Refusal as no:
        return _page(request, found, roles, no)
    return redirect("guest", guest)


def _page(
    request: HttpRequest, found: Guest, roles: frozenset[Role], refusal: Refusal | None = None
) -> HttpResponse:
    shown = Shown(Personal.GUEST, How.PAGE, [found.site_id], str(found.pk))
    show(person(request), roles, [Personal.GUEST], shown)
    reader = reader_of(request.user)
    units = list(map(UUID, found.units))
    plates = plates_of(units)
    may_end = bool(roles & EndGuest.permission.roles) and goes_on(found)
    offered = _offered(found, roles)
    page: dict[str, Any] = {
        "guest": found,
        "units": [(one, f"{plates[one].maker} {plates[one].serial}") for one in units],
        "goes_on": goes_on(found),
        "link": _link(found) if may_end and found.opened is None else "",
        "opened": [
            (row.at, sort_text(row.sort, reader), how_text(row.how, reader), row.subject)
            for row in looked_at_by(found)
        ]
        if may_read("personal-read.view", roles) or may_end
        else [],
        "command": in_words(offered, reader) if offered else None,
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(offered, Record({}), request.POST, {}, reader) if offered else [],
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "guest.html", page, status=409 if refusal else 200)


def _offered(found: Guest, roles: frozenset[Role]) -> type[Command] | None:
    """The one command that may be given as things stand: end the visit, then erase the name."""
    wanted: type[Command] = EndGuest if goes_on(found) else EraseGuest
    return wanted if roles & wanted.permission.roles and not found.erased else None


def _link(found: Guest) -> str:
    return settings.ADDRESS + reverse("visit-open", args=[found.pk, secret_of(found.pk)])


def _seen(request: HttpRequest, guest: UUID) -> tuple[Guest, frozenset[Role]]:
    """A guest whom this person may see, and their roles at the yard; 404 otherwise."""
    who = person(request)
    sites = [site for site, roles in sites_of(who).items() if may_see(Personal.GUEST, roles)]
    try:
        found = guest_at(guest, sites)
    except Refusal as no:
        raise Http404 from no
    use_time_zone_of([found.site_id])
    return found, frozenset(roles_at(who, found.site_id))
