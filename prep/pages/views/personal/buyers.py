"""The page of a buyer: the details, a legal hold, erasure, and who looked at them."""

from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.beside_the_log.buyer_details import DETAILS
from prep.actions.perform import perform
from prep.actions.readings.personal import How, Shown, show
from prep.models import Buyer
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import new_command, person, signed_in, submission_of, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.queries.people import roles_at, sites_of
from prep.queries.personal.buyers import buyer_at
from prep.queries.readers import reader_of
from prep.queries.units import plates_of, units_of_buyer
from prep.record.buyer.commands import AmendBuyer, EraseBuyer, HoldBuyer, LiftBuyerHold
from prep.record.command import Command
from prep.record.personal import Personal, may_see
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.struct_errors import convert_texts
from prep.record.unit.state import Record
from prep.words.listings import cell, name_in_list
from prep.words.reader import Reader
from reports.readings import looked_at

COMMANDS: Final[dict[str, type[Command]]] = {
    command.tag(): command for command in (AmendBuyer, HoldBuyer, LiftBuyerHold, EraseBuyer)
}
NO_UNIT: Final = Record({})
READINGS: Final = ("reader_name", "at", "sort", "how", "rows", "asked")


@signed_in
def buyer(request: HttpRequest, buyer: UUID) -> HttpResponse:
    """Show a buyer; that they are shown is noted."""
    found, roles = _seen(request, buyer)
    reader = reader_of(request.user)
    if not found.erased:
        _note(request, found, roles)
    units = units_of_buyer(buyer)
    plates = plates_of(units)
    page = {
        "buyer": found,
        "units": [(one, f"{plates[one].maker} {plates[one].serial}") for one in units],
        "commands": [in_words(one, reader) for one in _offered(found, roles)],
        **_readings(request, found, roles, reader),
    }
    return render(request, "buyer.html", page)


@signed_in
def command(request: HttpRequest, buyer: UUID, name: str) -> HttpResponse:
    """Show the form of a command on a buyer, or carry it out."""
    found, roles = _seen(request, buyer)
    wanted = COMMANDS.get(name)
    if wanted is None or not wanted.permission.roles & roles:
        raise Http404
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            given = convert_texts(read_form(wanted, request.POST), wanted)
            perform(given, actor=person(request), target=buyer, submission=submission_of(request))
        except Refusal as no:
            refusal = no
        else:
            return redirect("buyer", buyer)
    reader = reader_of(request.user)
    filled: dict[str, str] = {}
    found.refresh_from_db()
    if not found.erased:  # its name stands on the page
        _note(request, found, roles)
    if wanted is AmendBuyer and not found.erased:
        filled = {"seen": found.digest(), **{one: getattr(found, one) for one in DETAILS}}
    page = {
        "buyer": found,
        "present": ", ".join(filter(None, (filled.get(one) for one in DETAILS))),
        "command": in_words(wanted, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(wanted, NO_UNIT, request.POST, filled, reader),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "buyer_command.html", page, status=409 if refusal else 200)


def _seen(request: HttpRequest, buyer: UUID) -> tuple[Buyer, frozenset[Role]]:
    """A buyer whom this person may see, and their roles at the buyer's yard; 404 otherwise."""
    who = person(request)
    sites = [site for site, roles in sites_of(who).items() if may_see(Personal.BUYER, roles)]
    try:
        found = buyer_at(buyer, sites)
    except Refusal as no:
        raise Http404 from no
    use_time_zone_of([found.site_id])
    return found, frozenset(roles_at(who, found.site_id))


def _note(request: HttpRequest, found: Buyer, roles: frozenset[Role]) -> None:
    shown = Shown(Personal.BUYER, How.PAGE, [found.site_id], str(found.pk))
    show(person(request), roles, [Personal.BUYER], shown)


def _offered(found: Buyer, roles: frozenset[Role]) -> list[type[Command]]:
    """The commands that this person may give as things stand."""
    if found.erased:
        return []
    possible = (AmendBuyer, LiftBuyerHold if found.held else HoldBuyer)
    wanted = possible if found.held else (*possible, EraseBuyer)
    return [one for one in wanted if one.permission.roles & roles]


def _readings(
    request: HttpRequest, found: Buyer, roles: frozenset[Role], reader: Reader
) -> dict[str, Any]:
    """Who looked at the buyer, for those who may know."""
    if not may_read("personal-read.view", roles):
        return {}
    name = "personal_reads"
    rows = looked_at(person(request), found).rows
    return {
        "heads": [name_in_list(name, column, reader) for column in READINGS],
        "readings": [
            [cell(name, column, row[column], reader) for column in READINGS] for row in rows
        ],
    }
