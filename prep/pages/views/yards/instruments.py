"""The page of a tool, and moving it to another yard."""

from collections.abc import Mapping

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.perform import perform
from prep.models import Site
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
from prep.queries.instruments import instrument_at
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.record.instrument.commands import MoveInstrument
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.struct_errors import convert_texts
from prep.words.commands import label
from prep.words.dates import short_day


@signed_in
def instrument(request: HttpRequest, code: str) -> HttpResponse:
    """Show a tool; a POST moves it."""
    held = sites_of(person(request))
    seeing = [site for site, roles in held.items() if may_read("instrument.view", roles)]
    try:
        site, facts = instrument_at(code, seeing)
    except Refusal as no:
        raise Http404 from no
    use_time_zone_of([site])
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            perform(
                _moving(request),
                actor=person(request),
                target=code,
                submission=submission_of(request),
            )
        except Refusal as no:
            refusal = no
        else:
            return redirect("list", "instruments")
    reader, tag = reader_of(request.user), MoveInstrument.tag()
    (yard,) = named_sites([site])
    page = {
        "instrument": facts,
        "yard": yard,
        "calibrated": short_day(facts.calibrated, reader),
        "due": short_day(facts.due, reader),
        "others": _others(held, site),
        "command": in_words(MoveInstrument, reader),
        "command_id": request.POST.get("command") or new_command(),
        "to_label": label(tag, "to", reader),
        "reason_label": label(tag, "reason", reader),
        "chosen": text_of(request, "to"),
        "typed": text_of(request, "reason"),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "instrument.html", page, status=409 if refusal else 200)


def _moving(request: HttpRequest) -> MoveInstrument:
    typed = {name: text_of(request, name) for name in ("site", "to", "reason")}
    return convert_texts(typed, MoveInstrument)


def _others(held: Mapping[str, frozenset[Role]], site: str) -> list[Site]:
    """The yards a tool may be moved to: those whose tools this person keeps, as at its own yard."""
    kept = [one for one, roles in held.items() if roles & MoveInstrument.permission.roles]
    return named_sites(one for one in kept if one != site) if site in kept else []
