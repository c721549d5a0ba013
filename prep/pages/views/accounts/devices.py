"""The devices of the yards: which there are, enroll this one, rename one, take one out of use."""

from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from prep.actions.accounts.devices import digest_of, heard_of, key_of
from prep.actions.accounts.session_store import DEVICE
from prep.actions.perform import perform
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.device_cookie import device_here, set_cookie
from prep.pages.forms import (
    new_command,
    person,
    signed_in,
    submission_of,
    text_of,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import devices_at, named_sites
from prep.record.command import Command
from prep.record.device.commands import EnrollDevice, RenameDevice, RevokeDevice
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert_texts
from prep.record.unit.state import Record

COMMANDS: Final[dict[str, type[Command]]] = {"rename": RenameDevice, "revoke": RevokeDevice}
NO_UNIT: Final = Record({})


@signed_in
def devices(request: HttpRequest) -> HttpResponse:
    """Show the devices of each yard, with last contact and what waits on them."""
    held = sites_of(person(request))
    read = [site for site, roles in held.items() if may_read("device.view", roles)]
    if not read:
        raise Http404
    use_time_zone_of(read)
    of_yards = devices_at(read)
    page = {
        "yards": [(site, of_yards.get(site.code, [])) for site in named_sites(read)],
        "may_change": _where_enrolling(request),
        "here": device_here(request),
    }
    return render(request, "devices.html", page)


@signed_in
def enroll(request: HttpRequest) -> HttpResponse:
    """Show the form that makes this device one of a yard's, or do it and give it its key."""
    sites = _where_enrolling(request)
    if not sites:
        raise Http404
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            return _enrolled(request)
        except Refusal as no:
            refusal = no
    page = {"sites": named_sites(sites), "here": device_here(request)}
    chosen = request.POST.get("site", "")
    return _form(request, EnrollDevice, refusal, {**page, "chosen": chosen}, hidden="key_digest")


def _enrolled(request: HttpRequest) -> HttpResponse:
    submission = submission_of(request)
    key = key_of(submission.id)
    typed = {name: text_of(request, name) for name in ("site", "name")}
    command = convert_texts({**typed, "key_digest": digest_of(key)}, EnrollDevice)
    done = perform(command, actor=person(request), submission=submission)
    request.session[DEVICE] = done.target
    answer = redirect("devices")
    set_cookie(answer, f"{done.target}.{key}")
    return answer


@signed_in
def act(request: HttpRequest, device: UUID, name: str) -> HttpResponse:
    """Show the form of a command on a device, or carry it out."""
    known = {one.pk: one for at in devices_at(_where_enrolling(request)).values() for one in at}
    if name not in COMMANDS or device not in known:
        raise Http404
    command, refusal = COMMANDS[name], None
    if request.method == "POST":
        try:
            given = convert_texts(read_form(command, request.POST), command)
            perform(given, actor=person(request), target=device, submission=submission_of(request))
        except Refusal as no:
            refusal = no
        else:
            return redirect("devices")
    return _form(request, command, refusal, {"device": known[device]})


@signed_in
@require_POST
def unsent(request: HttpRequest) -> HttpResponse:
    """Note how many entries wait on the device that this session is on."""
    device, count = request.session.get(DEVICE), text_of(request, "count")
    if device and count.isascii() and count.isdigit() and len(count) <= 9:
        heard_of(UUID(device), int(count))
    return HttpResponse(status=204)


def _where_enrolling(request: HttpRequest) -> list[str]:
    """Codes of the yards where this person may enroll devices."""
    held = sites_of(person(request))
    return [site for site, roles in held.items() if EnrollDevice.permission.roles & roles]


def _form(
    request: HttpRequest,
    command: type[Command],
    refusal: Refusal | None,
    page: dict[str, Any],
    hidden: str = "",
) -> HttpResponse:
    reader = reader_of(request.user)
    filled = {"name": page["device"].name} if "device" in page else {}
    fields = shown_fields(command, NO_UNIT, request.POST, filled, reader)
    shown = {
        **page,
        "command": in_words(command, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": [field for field in fields if field["name"] != hidden],
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "device.html", shown, status=409 if refusal else 200)
