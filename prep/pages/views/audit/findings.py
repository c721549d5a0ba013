"""The auditor's page: replaced and late entries, concessions, and the readings of a tool."""

from typing import Any

from django.conf import settings
from django.db.models import F, OuterRef, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.actions.readings.lists import read_page
from prep.actions.readings.personal import How, Shown, note
from prep.models import Flag, Instrument, Person, Reading, UnitStep
from prep.pages.forms import new_command, person, signed_in, use_time_zone_of
from prep.pages.outages import notices
from prep.queries import log
from prep.queries.accounts import self_given
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.listing.declaration import Row
from prep.queries.lists.entries import ENTRIES
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.record.personal import Personal, may_see
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.record.site.commands import AddKeeper
from prep.record.unit.entries.remarking import LATE_AFTER
from prep.rules.conformity.judgment import CheckAnswer
from prep.words.dates import short_day
from prep.words.documents.states import document_state
from prep.words.people.history import account_event_text
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from prep.words.unit.flags import kept_flag_text
from prep.words.verdicts import word
from prep.words.verification.sentences import verdict_text
from reports import queue
from reports.audit.document import yards_of
from reports.checkpoint_mail.status import statuses
from reports.models import DocumentRequest, State
from reports.verification.document import read

SHOWN = 100


@signed_in
def audit(request: HttpRequest) -> HttpResponse:
    """Findings of the person's yards, and the readings of an instrument that was chosen."""
    sites = list(sites_of(person(request)))
    use_time_zone_of(sites)
    reader = reader_of(person(request))
    instrument = request.GET.get("instrument", "")
    step = UnitStep.objects.filter(unit=OuterRef("unit"), step=OuterRef("step"))
    entries = (
        Reading.objects.filter(unit__site_id__in=sites)
        .select_related("unit")
        .annotate(title=Subquery(step.values("title")[:1]))
    )
    names = {site.code: site.name for site in named_sites(sites)}
    late = entries.filter(recorded__gt=F("happened") + LATE_AFTER)
    return render(
        request,
        "audit.html",
        {
            "instruments": [
                (tool, short_day(tool.due, reader))
                for tool in Instrument.objects.filter(site_id__in=sites).order_by("kind", "code")
            ],
            "instrument": instrument,
            "decided": _decided(instrument, person(request), reader) if instrument else [],
            "replaced": [
                (entry, _answer(entry), word(entry.verdict, reader))
                for entry in entries.filter(current=False).order_by("-recorded")[:SHOWN]
            ],
            "conceded": [
                (flag, kept_flag_text(flag.about, reader))
                for flag in Flag.objects.filter(unit__site_id__in=sites)
                .exclude(concession="")
                .select_related("unit")
                .order_by("-closed")[:SHOWN]
            ],
            "self_given": [
                (one, account_event_text(one.event, reader, names.get(one.site, "")))
                for one in self_given(_where_accounts_are_seen(person(request)))
            ],
            "late": late.order_by("-recorded")[:SHOWN],
            "checkpoint": log.latest_checkpoint(),
            "keys": log.public_keys(),
            "outages": notices(reader, sites),
            "may_bundle": bool(yards_of(person(request))),
            "command": new_command(),
            "keepers": _keepers(person(request), reader),
            "languages": settings.LANGUAGES,
            "may_verify": queue.may_ask(person(request), "verification"),
            "verifications": [
                (asked, _outcome(asked, reader))
                for asked in queue.requests_by(person(request)).filter(kind="verification")[:3]
            ],
        },
    )


def _where_accounts_are_seen(who: Person) -> list[str]:
    return [site for site, roles in sites_of(who).items() if may_read("person.view", roles)]


def _outcome(asked: DocumentRequest, reader: Reader) -> str:
    """What a verification found, once it is made; else where it stands."""
    if asked.state != State.DONE:
        return document_state(asked.state, reader)
    try:
        with queue.open_file(asked) as opened:
            return verdict_text(reader, holds=read(opened.read()).holds)
    except Refusal as no:
        return refusal_text(no, reader)


def _keepers(who: Person, reader: Reader) -> list[dict[str, Any]]:
    """The yards whose addresses outside a person may see, with how the mails to them are doing.

    That addresses are shown is noted.
    """
    held = {site: roles for site, roles in sites_of(who).items() if may_see(Personal.KEEPER, roles)}
    keepers = [
        {
            "code": site.code,
            "name": site.name,
            "may_change": bool(AddKeeper.permission.roles & held[site.code]),
            "command": new_command(),
            "statuses": [
                {**vars(one), "command": new_command()} for one in statuses(site.code, reader)
            ],
        }
        for site in named_sites(held)
    ]
    sites = [str(yard["code"]) for yard in keepers if yard["statuses"]]
    if sites:
        note(str(who.pk), str(who), Shown("keepers", How.PAGE, sites, rows=len(sites)))
    return keepers


def _decided(instrument: str, who: Person, reader: Reader) -> list[Row]:
    """The newest readings taken with an instrument, corrected ones too, in words."""
    asked = asking(ENTRIES, {"instrument": instrument})
    rows = read_page(asked, asker_of(who, ENTRIES), limit=SHOWN).rows
    steps = UnitStep.objects.filter(unit__in={row["unit"] for row in rows})
    titles = {
        (unit, step): title for unit, step, title in steps.values_list("unit", "step", "title")
    }
    return [
        {
            **row,
            "title": titles.get((row["unit"], row["step"]), ""),
            "verdict": word(row["verdict"], reader),
        }
        for row in rows
    ]


def _answer(entry: Reading) -> str:
    """What was typed; empty for a check, whose verdict says it."""
    return "" if entry.verdict in set(CheckAnswer) else entry.raw
