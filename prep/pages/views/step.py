"""The step page: cautions, boxes and signature of one step."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from prep.actions.unit import entries, steps
from prep.actions.write_path import Outcome
from prep.pages.boxes import anchor, boxes_of
from prep.pages.forms import (
    command_of,
    new_command,
    person,
    picture_of,
    signed_in,
    text_of,
    unit_seen,
)
from prep.pages.handwritten import attach_sheet, source_context, source_of, source_query
from prep.pages.views.unit import about
from prep.queries.instruments import instruments_at
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.units import Seen
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Role
from prep.record.unit.commands.handwritten import writers
from prep.record.unit.commands.steps import participants
from prep.record.unit.events import PhotoAttached
from prep.record.unit.sheet import Status, cautions_of, content_digest, statuses, waits_for
from prep.record.unit.state import Record
from prep.words.refusals import said

StepAction = Callable[[HttpRequest, UUID, str], Outcome]


@signed_in
def step(request: HttpRequest, unit: UUID, step: str) -> HttpResponse:
    """Show a step; a POST carries out an action in it."""
    seen = unit_seen(request, unit)
    refusal: Refusal | None = None
    if request.method == "POST":
        action = ACTIONS.get(text_of(request, "do"))
        if action is None:
            raise Http404
        try:
            outcome = action(request, unit, step)
        except Refusal as no:
            refusal = no
        else:
            return redirect(_next_address(request, outcome))
    record = record_of(unit)
    if record.procedure is None or step not in record.procedure.steps:
        raise Http404
    page = _page(request, unit, record, seen, record.procedure.steps[step])
    shown = said(refusal, reader_of(person(request)))
    page |= {"refusal": shown, "refused_box": text_of(request, "box") if refusal else ""}
    return render(request, "step.html", page, status=409 if refusal else 200)


def _next_address(request: HttpRequest, outcome: Outcome) -> str:
    """The address after an action: the same box, with the same or the newly added source."""
    event, box = outcome.events[0], text_of(request, "box")
    if isinstance(event, PhotoAttached) and event.of_paper:
        return f"{request.path}?paper={event.photo}#paper"
    return f"{request.path}{source_query(request)}#{anchor(box) if box else 'top'}"


def _page(
    request: HttpRequest, unit: UUID, record: Record, seen: Seen, step: Step
) -> dict[str, Any]:
    assert record.procedure is not None
    status_of = statuses(record)
    codes = list(record.procedure.steps)
    place = codes.index(step.step)
    who = str(person(request).pk)
    return {
        **about(unit, record, seen),
        **(source := source_context(request, record, seen.site)),
        **_permissions(
            record, step, status_of[step.step], seen, who, copying=bool(source["copying"])
        ),
        "step": step,
        "status": status_of[step.step].value,
        "step_state": record.step_state(step.step),
        "cautions": cautions_of(record, step),
        "boxes": boxes_of(record, step, who, instruments_at(seen.site), reader_of(person(request))),
        "waits_for": [record.procedure.steps[code] for code in waits_for(step, status_of)],
        "seen_digest": content_digest(record, step),
        "typed": request.POST,
        "command_id": request.POST.get("command") or new_command(),
        "new_command": new_command,
        "section": record.procedure.section_of[step.step].title,
        "place": place + 1,
        "places": len(codes),
        "previous": codes[place - 1] if place else "",
        "next": codes[place + 1] if place + 1 < len(codes) else "",
        "today": timezone.localdate().isoformat(),
    }


def _permissions(
    record: Record, step: Step, status: Status, seen: Seen, who: str, *, copying: bool
) -> dict[str, Any]:
    """What this person may do in the step now. The actions check all of it again."""
    state = record.step_state(step.step)
    stopped = bool(record.held or record.handover)
    service = bool(seen.roles & SERVICE) and not stopped
    may_do = service and bool(seen.roles & set(step.who))
    open_now = status in {Status.TO_DO, Status.BEGUN, Status.FLAGGED, Status.TO_SIGN}
    may_copy = may_do and (open_now or status is Status.AWAITS_STEP)
    enterable = may_do and (open_now or (may_copy and copying))
    read = who in state.acknowledged or not step.cautions
    wrote = writers(record, step)
    second = service and status is Status.AWAITS_SECOND
    skips = {"never": frozenset[Role](), "service manager": MANAGER, "technician": SERVICE}
    return {
        "may_copy": may_copy,
        "must_read": enterable and not read,
        "may_enter": enterable and read,
        "may_sign": may_do and status is Status.TO_SIGN and (not wrote or who in wrote),
        "awaits_writer": [] if who in wrote or status is not Status.TO_SIGN else wrote.values(),
        "may_check": second and who not in participants(record, step),
        "awaits_another": second and who in participants(record, step),
        "may_skip": service and open_now and bool(seen.roles & skips[step.skip]),
        "may_reopen": service
        and bool(state.signatures or state.skipped)
        and not (record.release and record.release.event.ready_for == "buyer"),
    }


def _box_arguments(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    """The arguments of an action on a box."""
    line, _, position = text_of(request, "box").partition("|")
    return {
        "actor": person(request),
        "command": command_of(request),
        "unit": unit,
        "step": step,
        "line": line,
        "position": position,
    }


def _acknowledge(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    return steps.acknowledge(
        actor=person(request), command=command_of(request), unit=unit, step=step
    )


def _reading(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    return entries.take(
        **_box_arguments(request, unit, step),
        text=request.POST.get("text", ""),
        instrument=text_of(request, "instrument"),
        supersedes=text_of(request, "supersedes"),
        reason=text_of(request, "reason"),
        paper=source_of(request),
    )


def _check(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    return entries.complete_check(
        **_box_arguments(request, unit, step),
        answer=text_of(request, "answer") == "yes",
        note=text_of(request, "note"),
        supersedes=text_of(request, "supersedes"),
        reason=text_of(request, "reason"),
        paper=source_of(request),
    )


def _photo(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    return entries.attach_photo(**_box_arguments(request, unit, step), content=picture_of(request))


def _signing_arguments(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    return {
        "actor": person(request),
        "command": command_of(request),
        "unit": unit,
        "step": step,
        "seen": text_of(request, "seen"),
        "pin": text_of(request, "pin"),
    }


def _reason_arguments(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    return {
        "actor": person(request),
        "command": command_of(request),
        "unit": unit,
        "step": step,
        "reason": text_of(request, "reason"),
    }


ACTIONS: dict[str, StepAction] = {
    "acknowledge": _acknowledge,
    "reading": _reading,
    "check": _check,
    "photo": _photo,
    "paper": attach_sheet,
    "sign": lambda r, u, s: steps.sign(**_signing_arguments(r, u, s)),
    "second": lambda r, u, s: steps.check_as_second(**_signing_arguments(r, u, s)),
    "skip": lambda r, u, s: steps.skip(**_reason_arguments(r, u, s)),
    "reopen": lambda r, u, s: steps.reopen(**_reason_arguments(r, u, s)),
}
