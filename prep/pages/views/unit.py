"""One unit: is it ready, what stops it, what is next, what was done, and the papers."""

from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from prep.pages.commands import offered
from prep.pages.document_cards import amends, lacking, may_register, papers_of
from prep.pages.forms import clock_moment, new_command, person, signed_in, unit_seen
from prep.queries.people import sites_of
from prep.queries.records import fold_history, history
from prep.queries.units import Seen
from prep.queries.yard import equal_and_ready
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Role
from prep.record.unit.commands.registrations import registration
from prep.record.unit.commands.steps import may_work, participants
from prep.record.unit.readiness import Readiness, readiness
from prep.record.unit.sheet import FINISHED, Status, statuses
from prep.record.unit.state import Record
from prep.record.unit.views.index_rows import state_of
from prep.words.events import sentence
from reports.labels.sizes import SIZES

# The commands that carry a unit on; the others are for when something else happened.
ONWARD: Final = frozenset({"model", "sheet", "release", "handover", "registered", "answered"})
WORKABLE: Final = frozenset({Status.FLAGGED, Status.BEGUN, Status.TO_SIGN, Status.TO_DO})


@dataclass(frozen=True)
class ShownSection:
    """A section of the sheet with its steps and where each stands."""

    title: str
    steps: list[tuple[Step, str]]
    done: int
    counted: int
    opened: bool = False

    @property
    def finished(self) -> bool:
        """Whether nothing is left to do in it."""
        return self.done == self.counted


@signed_in
def unit(request: HttpRequest, unit: UUID) -> HttpResponse:
    """The unit as it stands, or as it stood at a moment."""
    return unit_page(request, unit)


def unit_page(request: HttpRequest, unit: UUID, refusal: Refusal | None = None) -> HttpResponse:
    """The unit's page, with a refusal of what was asked for on it."""
    seen = unit_seen(request, unit)
    typed = request.GET.get("as_of", "")
    as_of = clock_moment(typed)
    past = history(unit, until=as_of)
    if typed and (as_of is None or not past):
        refusal = Refusal(
            "no-such-moment",
            f"“{typed}” is no moment at which this unit was here. Below it is as it stands now.",
        )
        as_of, past = None, history(unit)
    record = fold_history(past)
    page = about(unit, record, seen)
    return render(
        request,
        "unit.html",
        {
            **page,
            "refusal": refusal,
            "as_of": as_of,
            "as_of_typed": typed,
            "history": [(h.stamp, sentence(h.event)) for h in reversed(past)],
            "sections": _sections(record),
            "closed_flags": [flag for flag in record.flags.values() if not flag.open],
            **({} if as_of else _now(request, unit, record, seen, page["readiness"])),
        },
        status=409 if refusal else 200,
    )


def _now(
    request: HttpRequest, unit: UUID, record: Record, seen: Seen, answer: Readiness
) -> dict[str, Any]:
    """What is said of the present only: what to do next, which unit instead, the papers."""
    commands = offered(record, seen.roles)
    onward = ONWARD if record.buyer else ONWARD | {"buyer"}
    papers = papers_of(unit, person(request), seen)
    stands = registration(record, timezone.localdate())
    lacks = lacking(unit, record)
    waits = not answer.ready_for_buyer and record.handover is None
    return {
        "next_step": _next_step(record, seen, str(person(request).pk)),
        "onward": [c for c in commands if c.name in onward],
        "otherwise": [c for c in commands if c.name not in onward],
        "instead": _instead(request, unit, record) if waits else [],
        "papers": papers,
        "papers_move": any(paper.moves for paper in papers),
        "lacking": lacks,
        "amends": amends(record, seen, lacks),
        "may_register": may_register(record, seen, stands.state, papers),
        "new_command": new_command,
        "may_print": bool(seen.roles - {Role.AUDITOR}),
        "sizes": SIZES.values(),
    }


def _instead(request: HttpRequest, unit: UUID, record: Record) -> list[dict[str, Any]]:
    if record.model is None:
        return []
    sites = sites_of(person(request))
    found = equal_and_ready(sites, [record.model.code])
    key = (record.model.code, tuple(record.options))
    return [row for row in found.get(key, []) if row["id"] != unit][:3]


def _next_step(record: Record, seen: Seen, who: str) -> Step | None:
    """The first step this person can go on with: work of theirs, or a second check."""
    if record.procedure is None or record.held or record.handover or not seen.roles & SERVICE:
        return None
    for code, status in statuses(record).items():
        step = record.procedure.steps[code]
        if status in WORKABLE and may_work(step, seen.roles):
            return step
        if status is Status.AWAITS_SECOND and who not in participants(record, step):
            return step
    return None


def about(unit: UUID, record: Record, seen: Seen) -> dict[str, Any]:
    """What every page about a unit says at its top."""
    answer = readiness(record)
    return {
        "unit": unit,
        "record": record,
        "roles": seen.roles,
        "site": seen.site,
        "readiness": answer,
        "state": state_of(record, answer),
        "registration": registration(record, timezone.localdate()),
    }


def _sections(record: Record) -> list[ShownSection]:
    if record.procedure is None:
        return []
    found = statuses(record)
    sections: list[ShownSection] = []
    for section in record.procedure.sections:
        counted = [s for s in section.steps if found[s.step] is not Status.DOES_NOT_APPLY]
        done = sum(found[step.step] in FINISHED for step in counted)
        steps = [(step, found[step.step].value) for step in section.steps]
        first = done < len(counted) and all(earlier.finished for earlier in sections)
        sections.append(ShownSection(section.title, steps, done, len(counted), first))
    return sections
