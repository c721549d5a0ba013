"""Pages of a unit's commands, one form each, and of receiving a unit."""

from collections.abc import Callable, Mapping
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.unit import receiving
from prep.models import MachineModel
from prep.pages.commands import COMMANDS, Field
from prep.pages.document_cards import amends, lacking
from prep.pages.forms import Sent, command_of, new_command, person, signed_in, text_of, unit_seen
from prep.pages.views.unit import about
from prep.queries.models import model_rows
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.unit.commands.handovers import MUST_SHOW
from prep.record.unit.commands.releases import sheet_digest
from prep.record.unit.events import Damage
from prep.record.unit.state import Record
from prep.words.refusals import said
from reports.registration.facts import USES


@signed_in
def command(request: HttpRequest, unit: UUID, name: str) -> HttpResponse:
    """Show a command's form, or carry it out."""
    seen = unit_seen(request, unit)
    definition = COMMANDS.get(name)
    if definition is None or not definition.roles & seen.roles:
        raise Http404
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            definition.act(person(request), command_of(request), unit, Sent(request.POST))
        except Refusal as no:
            refusal = no
        except KeyError:
            refusal = Refusal("field-missing", "Something is not filled in. Fill in every field.")
        else:
            return redirect("unit", unit)
    record = record_of(unit)
    filled = definition.filled(record)
    lacks = lacking(unit, record, before_handover=True) if name == "handover" else ()
    page = {
        **about(unit, record, seen),
        "command": definition,
        "fields": [
            _shown(request, field, record, seen.site, filled) for field in definition.fields
        ],
        "command_id": request.POST.get("command") or new_command(),
        "refusal": said(refusal, reader_of(person(request))),
        "lacking": lacks,
        "amends": amends(record, seen, lacks),
    }
    return render(request, "command.html", page, status=409 if refusal else 200)


def _shown(
    request: HttpRequest, field: Field, record: Record, site: str, filled: Mapping[str, str]
) -> dict[str, Any]:
    """A field for the template: its choices, and its value as typed before or filled in."""
    kept = filled.get(field.name, field.value)
    typed = request.POST.get(field.name, kept)
    hidden = {
        "seen": sheet_digest(record) if field.kind == "seen" else "",
        "site": site,
        "hidden": kept,
    }
    return {
        "name": field.name,
        "label": field.label,
        "kind": field.kind,
        "required": field.required,
        "value": "" if field.kind == "pin" else hidden.get(field.kind, typed),
        "picked": request.POST.getlist(field.name),
        "choices": _choices(field.kind, record),
    }


def _choices(kind: str, record: Record) -> list[tuple[str, str]]:
    """Choices of a field by its kind, each a value and its words."""
    listing: dict[str, Callable[[], list[tuple[str, str]]]] = {
        "model": lambda: [(row["code"], row["name"]) for row in model_rows("machine")],
        "tractor": lambda: [(row["code"], row["name"]) for row in model_rows("tractor")],
        "flag": lambda: [(flag.id, flag.text) for flag in record.open_flags()],
        "shortage": lambda: [
            (key, s.event.part) for key, s in record.shortages.items() if s.arrived is None
        ],
        "step": lambda: [(s.step, s.title) for s in _steps(record)],
        "topics": lambda: [(topic, topic) for topic in MUST_SHOW],
        "uses": lambda: [(f"{use} use", f"{use} use") for use in USES],
        "document": lambda: [
            (d.document, d.number)
            for d, _ in reversed(record.documents)
            if d.document_kind == "registration"
        ],
    }
    return listing[kind]() if kind in listing else []


def _steps(record: Record) -> list[Step]:
    return list(record.procedure.steps.values()) if record.procedure else []


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
        "sites": sites,
        "models": list(machines.values_list("code", "name", "maker")),
        "makers": sorted(set(machines.values_list("maker", flat=True))),
        "typed": request.POST,
        "command_id": request.POST.get("command") or new_command(),
        "refusal": said(refusal, reader_of(person(request))),
    }
    return render(request, "receive.html", page, status=409 if refusal else 200)


def _receive(request: HttpRequest) -> UUID:
    what, where = text_of(request, "damage_what"), text_of(request, "damage_where")
    on_bill_of_lading = "damage_on_paper" in request.POST
    damage = (Damage(what, where or "not said", 1, on_bill_of_lading),) if what or where else ()
    compared = [s.strip() for s in text_of(request, "checked_against").split(",") if s.strip()]
    outcome = receiving.receive(
        actor=person(request),
        command=command_of(request),
        site=text_of(request, "site"),
        maker=text_of(request, "maker"),
        serial=text_of(request, "serial"),
        papers=text_of(request, "papers"),
        model=text_of(request, "model"),
        place=text_of(request, "place"),
        note=text_of(request, "note"),
        damage=damage,
        checked_against=compared,
    )
    return outcome.unit
