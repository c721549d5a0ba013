"""The unit page: readiness with its reasons, next step, history and documents."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from prep.pages.commands import offered
from prep.pages.document_cards import amends, cards_of, lacking, may_register
from prep.pages.forms import clock_moment, new_command, person, signed_in, unit_seen
from prep.pages.refusals import shown_refusal
from prep.pages.refused import shown_not_taken
from prep.queries.events import refused_on
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.records import fold_history, history, past_of
from prep.queries.units import Seen
from prep.queries.yard import ready_instead_of
from prep.record.personal import Personal, may_see
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE
from prep.record.unit.commands.registrations import registration
from prep.record.unit.commands.steps import participants
from prep.record.unit.events import UnitEvent
from prep.record.unit.events.identity import RecordJoined
from prep.record.unit.readiness import Readiness, readiness
from prep.record.unit.sheet import FINISHED, Status, statuses
from prep.record.unit.state import Record, Stamp
from prep.record.unit.views.past import Past, View
from prep.words.documents.label_sizes import size_title
from prep.words.reader import Reader
from prep.words.readiness import shown_reasons
from prep.words.registration import missing_items
from prep.words.unit.flags import closing_text, flag_text
from prep.words.unit.history import event_text
from prep.words.unit.past import left_out_texts, view_text
from prep.words.unit.registrations import registration_text
from prep.words.unit.signatures import ended_because, nothing_to_redo, with_named
from prep.words.unit.states import state_in_record
from prep.words.unit.step_statuses import status_text
from reports.certificate.cause import ENGLISH
from reports.labels.sizes import SIZES
from reports.registry import kind_named

# Commands of the usual course of a unit; the page lists the others under “more”.
ONWARD: Final = frozenset(
    {
        "model.assign",
        "sheet.start",
        "unit.release",
        "unit.hand-over",
        "registration.send",
        "registration.answer",
    }
)
INSTEAD: Final = 3  # equal units named on a unit's page
OPEN: Final = frozenset({Status.FLAGGED, Status.BEGUN, Status.TO_SIGN, Status.TO_DO})


@dataclass(frozen=True)
class ShownSection:
    """A section of the sheet with its steps and their states."""

    title: str
    steps: list[tuple[Step, Status, str]]  # the status as token and in words
    done: int
    counted: int
    opened: bool = False

    @property
    def finished(self) -> bool:
        """Whether all of its steps are done."""
        return self.done == self.counted


@signed_in
def unit(request: HttpRequest, unit: UUID) -> HttpResponse:
    """Show the unit as it is, or as it was at a moment."""
    return unit_page(request, unit)


def unit_page(request: HttpRequest, unit: UUID, refusal: Refusal | None = None) -> HttpResponse:
    """The unit's page, with the refusal of a command if there was one."""
    seen = unit_seen(request, unit)
    past, unclear = _past(request, unit)
    refusal = refusal or unclear
    whole = [] if past else history(unit)
    record = past.record if past else fold_history(whole)
    events = past.events if past else tuple((h.stamp, h.event) for h in whole)
    reader = reader_of(person(request))
    page = about(unit, record, seen, reader)
    return render(
        request,
        "unit.html",
        {
            **page,
            "refusal": shown_refusal(refusal, request) if refusal else None,
            "as_of": _as_of(past, reader) if past else None,
            "history": _told(events, record, reader),
            "joined": [_joined(event, reader) for event, _ in record.joined],
            "sections": _sections(record, reader),
            "open_flags": [flag_text(flag.about, reader) for flag in record.open_flags()],
            "closed_flags": [
                (flag_text(flag.about, reader), closing_text(flag, reader), flag.concession)
                for flag in record.flags.values()
                if not flag.open
            ],
            "releases": [
                (
                    release,
                    ended_because(release, reader),
                    nothing_to_redo(release.nothing_because, reader),
                )
                for release in record.releases
            ],
            **({} if past else _present(request, unit, record, seen, page["readiness"])),
        },
        status=409 if refusal else 200,
    )


def _past(request: HttpRequest, unit: UUID) -> tuple[Past | None, Refusal | None]:
    """The view of the past that is asked for, or why there is none at that moment."""
    for view in View:
        if typed := request.GET.get(view.value.replace("-", "_"), ""):
            moment = clock_moment(typed)
            if moment and moment > timezone.now():
                return None, Refusal("moment-in-future")
            past = past_of(unit, view, moment) if moment else None
            if past and past.record.received:
                return past, None
            return None, Refusal("no-such-moment", typed=typed)
    return None, None


def _as_of(past: Past, reader: Reader) -> dict[str, Any]:
    """A view of the past for the template: which it is, its moment, what lost a reference."""
    moment = timezone.localtime(past.moment)
    return {
        "view": past.view.value.replace("-", "_"),
        "moment": moment,
        "text": view_text(past, moment, reader),
        "left_out": left_out_texts(past.left_out, reader),
    }


def _told(
    events: Sequence[tuple[Stamp, UnitEvent]], record: Record, reader: Reader
) -> list[tuple[Stamp, str, str]]:
    """What happened, who did it and in which words, the newest first."""
    return [
        (stamp, _who(stamp, reader), event_text(event, record, reader))
        for stamp, event in reversed(events)
    ]


def _joined(event: RecordJoined, reader: Reader) -> dict[str, Any]:
    """The history of a record that was joined to this one."""
    past = history(UUID(event.unit))
    events = [(one.stamp, one.event) for one in past]
    told = _told(events, fold_history(past), reader)
    return {"unit": event.unit, "serial": event.serial, "history": told}


def _present(
    request: HttpRequest, unit: UUID, record: Record, seen: Seen, answer: Readiness
) -> dict[str, Any]:
    """Template context of the present only: next step, commands, equal units, documents."""
    who = person(request)
    commands = offered(record, who, seen.roles, reader_of(who))
    onward = ONWARD if record.buyer else ONWARD | {"buyer.assign"}
    cards = cards_of(unit, record, person(request), seen)
    current = registration(record, timezone.localdate())
    lacks = lacking(unit, record)
    waits = not answer.ready_for_buyer and record.handover is None
    return {
        "next_step": _next_step(record, seen, str(person(request).pk)),
        "not_taken": [
            shown_not_taken(one, record.procedure, request) for one in refused_on(unit) if one.open
        ],
        "onward": [c for c in commands if c.name in onward],
        "otherwise": [c for c in commands if c.name not in onward],
        "instead": ready_instead_of(sites_of(who), unit, INSTEAD) if waits else [],
        "papers": cards,
        "papers_move": any(card.moves for card in cards),
        "lacking": missing_items(lacks, reader_of(who)),
        "amends": amends(record, seen, lacks),
        "may_register": may_register(record, seen, current.state, cards),
        "new_command": new_command,
        "may_print": not record.joined_into and bool(kind_named("sheet").asked_by & seen.roles),
        "other_languages": _other_languages(record, seen),
        "sizes": [(size, size_title(size.name, reader_of(who))) for size in SIZES.values()],
    }


def _other_languages(record: Record, seen: Seen) -> list[tuple[str, str]]:
    """The languages this person may have a released unit's certificate made in, by their names."""
    if record.release is None or not kind_named("certificate").asked_by & seen.roles:
        return []
    return [(code, name) for code, name in settings.LANGUAGES if code != ENGLISH]


def _next_step(record: Record, seen: Seen, who: str) -> Step | None:
    """The first step this person can do or check as second person."""
    if record.procedure is None or record.held or record.handover or not seen.roles & SERVICE:
        return None
    for code, status in statuses(record).items():
        step = record.procedure.steps[code]
        if status in OPEN and any(role in step.who for role in seen.roles):
            return step
        if status is Status.AWAITS_SECOND and who not in participants(record, step):
            return step
    return None


def about(unit: UUID, record: Record, seen: Seen, reader: Reader) -> dict[str, Any]:
    """Template context of the top of each page about a unit."""
    answer = readiness(record)
    current = registration(record, timezone.localdate())
    return {
        "unit": unit,
        "record": record,
        "roles": seen.roles,
        "site": seen.site,
        "sees_buyer": record.buyer is not None and may_see(Personal.BUYER, seen.roles),
        "readiness": answer,
        "reasons": shown_reasons(answer.reasons, reader),
        "state": state_in_record(record, answer, reader),
        "registration": current,
        "registration_text": registration_text(current, reader),
    }


def _who(stamp: Stamp, reader: Reader) -> str:
    return with_named(stamp.name, stamp.named.name if stamp.named else "", reader)


def _step(step: Step, status: Status, reader: Reader) -> tuple[Step, Status, str]:
    return step, status, status_text(status, reader)


def _sections(record: Record, reader: Reader) -> list[ShownSection]:
    if record.procedure is None:
        return []
    status_of = statuses(record)
    sections: list[ShownSection] = []
    for section in record.procedure.sections:
        counted = [s for s in section.steps if status_of[s.step] is not Status.DOES_NOT_APPLY]
        done = sum(status_of[step.step] in FINISHED for step in counted)
        steps = [_step(step, status_of[step.step], reader) for step in section.steps]
        first = done < len(counted) and all(earlier.finished for earlier in sections)
        sections.append(ShownSection(section.title, steps, done, len(counted), first))
    return sections
