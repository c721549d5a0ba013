"""Pages of a unit's commands, one form each, and of receiving a unit."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.beside_the_log.buyer_details import DETAILS
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.perform import perform
from prep.actions.readings.personal import How, Shown, show
from prep.models import MachineModel
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import OFFERED, give, in_words
from prep.pages.document_cards import amends, lacking
from prep.pages.forms import (
    new_command,
    person,
    picture_of,
    signed_in,
    submission_of,
    text_of,
    unit_seen,
    use_time_zone_of,
)
from prep.pages.refusals import shown_refusal
from prep.pages.refused import shown_not_taken
from prep.pages.views.unit import about
from prep.queries.events import refused_seen
from prep.queries.manufacturers import all_manufacturers
from prep.queries.people import roles_at, sites_of
from prep.queries.personal.buyers import buyer_of
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.sites import named_sites
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.record.command import Command
from prep.record.inputs.sizes import takes
from prep.record.manufacturer.commands import AddManufacturer
from prep.record.personal import Personal
from prep.record.refusal import Refusal
from prep.record.refused.commands import SettleRefused
from prep.record.roles import Role
from prep.record.struct_errors import convert_texts
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.handovers import HandOver
from prep.record.unit.commands.plates import CorrectPlate, plate_photos
from prep.record.unit.commands.receiving import ArrivalDamage, ReceiveUnit
from prep.record.unit.commands.releases import ReleaseUnit
from prep.record.unit.readiness import readiness
from prep.record.unit.stands_for import stands_for
from prep.record.unit.state import Record
from prep.words.reader import Reader
from prep.words.readiness import shown_reasons
from prep.words.registration import missing_items
from prep.words.unit.stands_for import ShownItem, shown_item


@signed_in
@takes(PHOTO.most_bytes)
def command(request: HttpRequest, unit: UUID, name: str) -> HttpResponse:
    """Show a command's form, or carry it out."""
    seen = unit_seen(request, unit)
    definition = OFFERED.get(name)
    if definition is None or not definition.permission.roles & seen.roles:
        raise Http404
    record = record_of(unit)
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            give(
                definition,
                person=person(request),
                unit=unit,
                site=seen.site,
                record=record,
                sent=request.POST,
                submission=submission_of(request),
                attachment=picture_of(request) if definition.attachment else None,
            )
        except Refusal as no:
            refusal = no
        else:
            return redirect("unit", unit)
        record = record_of(unit)
    reader = reader_of(request.user)
    filled = {"photo": request.GET.get("photo", "")}
    if definition is AmendBuyer:
        filled = _details(record, request)
    lacks = lacking(unit, record, before_handover=True) if definition is HandOver else ()
    page = {
        **about(unit, record, seen, reader),
        "command": in_words(definition, reader),
        "fields": _fields(definition, record, request, filled, reader),
        "present": ", ".join(filter(None, (filled.get(one) for one in DETAILS))),
        "command_id": request.POST.get("command") or new_command(),
        "refusal": shown_refusal(refusal, request) if refusal else None,
        "releases": definition is ReleaseUnit,
        "blocking": _blocking(record, reader) if definition is ReleaseUnit else (),
        "stands_for": _stands_for(record, reader) if definition is ReleaseUnit else (),
        "takes_photo": definition.attachment,
        "needs_plate": definition is CorrectPlate and not plate_photos(record),
        "lacking": missing_items(lacks, reader),
        "amends": amends(record, seen, lacks),
    }
    return render(request, "command.html", page, status=409 if refusal else 200)


def _fields(
    definition: type[Command],
    record: Record,
    request: HttpRequest,
    filled: Mapping[str, str],
    reader: Reader,
) -> list[dict[str, Any]]:
    """The fields of the form. A sale is one form for the new buyer and the tractor."""
    fields = shown_fields(definition, record, request.POST, filled, reader)
    if definition is AssignBuyer:
        return [*shown_fields(AddBuyer, record, request.POST, {}, reader), *fields]
    return fields


def _blocking(record: Record, reader: Reader) -> list[dict[str, Any]]:
    """What a release waits for, in words."""
    return shown_reasons(readiness(record).before_release, reader)


def _stands_for(record: Record, reader: Reader) -> list[ShownItem]:
    """What a release would stand for, to be read before it is signed."""
    return [shown_item(item, record, reader) for item in stands_for(record)]


def _details(record: Record, request: HttpRequest) -> dict[str, str]:
    """The buyer's details as they are, which is noted; nothing of one whose data was erased."""
    kept = buyer_of(record.buyer) if record.buyer else None
    if kept is None:
        return {}
    roles = frozenset(roles_at(person(request), kept.site_id))
    shown = Shown(Personal.BUYER, How.PAGE, [kept.site_id], str(kept.pk))
    show(person(request), roles, [Personal.BUYER], shown)
    return {"seen": kept.digest(), **{name: getattr(kept, name) for name in DETAILS}}


@signed_in
def refused(request: HttpRequest, refused: UUID) -> HttpResponse:
    """Show an entry that was not taken, or settle it."""
    who = person(request)
    sites = sites_of(who)
    use_time_zone_of(sites)
    try:
        kept = refused_seen(who, sites, refused)
    except Refusal as no:
        raise Http404 from no
    unit = UUID(kept.event.unit) if kept.event.unit else None
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            settling = convert_texts(read_form(SettleRefused, request.POST), SettleRefused)
            perform(settling, actor=who, target=refused, submission=submission_of(request))
        except Refusal as no:
            refusal = no
        else:
            return redirect("unit", unit) if unit else redirect("yard")
    record, reader = record_of(unit) if unit else Record({}), reader_of(who)
    page = {
        "unit": unit,
        "command": in_words(SettleRefused, reader),
        "command_id": request.POST.get("command") or new_command(),
        "entry": shown_not_taken(kept, record.procedure, request),
        "fields": shown_fields(SettleRefused, record, request.POST, {}, reader),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "refused.html", page, status=409 if refusal else 200)


@signed_in
def receive(request: HttpRequest) -> HttpResponse:
    """Show the form to receive a unit, or receive it: its plate, bill of lading and damage."""
    sites = sites_of(person(request))
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            outcome = _receive(request)
        except Refusal as no:
            refusal = no
        else:
            return redirect("unit", outcome)
    machines = MachineModel.objects.filter(sort="machine").order_by("name")
    page = {
        "sites": named_sites(sites),
        "models": list(machines.values_list("code", "name", "maker")),
        "makers": [maker.name for maker in all_manufacturers()],
        "may_add_maker": _may_add_maker(sites),
        "typed": request.POST,
        "command_id": request.POST.get("command") or new_command(),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "receive.html", page, status=409 if refusal else 200)


def _may_add_maker(sites: Mapping[str, frozenset[Role]]) -> bool:
    return any(AddManufacturer.permission.roles & roles for roles in sites.values())


def _receive(request: HttpRequest) -> UUID:
    what, where = text_of(request, "damage_what"), text_of(request, "damage_where")
    noted = "damage_on_paper" in request.POST
    damage = (ArrivalDamage(what, where, 1, noted),) if what or where else ()
    compared = [s.strip() for s in text_of(request, "checked_against").split(",") if s.strip()]
    command = ReceiveUnit(
        site=text_of(request, "site"),
        maker=text_of(request, "maker"),
        serial=text_of(request, "serial"),
        papers=text_of(request, "papers"),
        model=text_of(request, "model"),
        place=text_of(request, "place"),
        note=text_of(request, "note"),
        damage=damage,
        checked_against=tuple(compared),
    )
    return perform(command, actor=person(request), submission=submission_of(request)).unit
