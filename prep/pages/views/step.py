"""The step page: cautions, boxes and signature of one step."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.perform import perform
from prep.actions.submission import Outcome
from prep.pages.boxes import anchor, boxes_of
from prep.pages.commands import context_now
from prep.pages.forms import (
    new_command,
    number_of,
    person,
    picture_of,
    signed_in,
    submission_of,
    text_of,
    unit_seen,
)
from prep.pages.handwritten import source_context, source_of, source_query
from prep.pages.refusals import shown_refusal
from prep.pages.views.unit import about
from prep.queries.instruments import instruments_at
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.units import Seen
from prep.record.command import Command
from prep.record.inputs.sizes import takes
from prep.record.personal import Personal, may_see
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit.commands.entries import (
    CheckSetting,
    CompleteCheck,
    OmitReading,
    TakeReading,
)
from prep.record.unit.commands.handwritten import AttachPage, writers
from prep.record.unit.commands.photos import AttachPhoto, MarkPeople
from prep.record.unit.commands.steps import (
    AcknowledgeCautions,
    CheckStep,
    ReopenStep,
    SignStep,
    SkipStep,
)
from prep.record.unit.events import PhotoAttached
from prep.record.unit.sheet import cautions_of, content_digest, statuses, waits_for
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand
from prep.words.commands import statement
from prep.words.unit.signatures import meaning
from prep.words.unit.step_statuses import status_text


@signed_in
@takes(PHOTO.most_bytes)
def step(request: HttpRequest, unit: UUID, step: str) -> HttpResponse:
    """Show a step; a POST carries out an action in it."""
    seen = unit_seen(request, unit)
    refusal: Refusal | None = None
    if request.method == "POST":
        make = COMMANDS.get(text_of(request, "do"))
        if make is None:
            raise Http404
        try:
            outcome = _carry_out(make, request, unit, step)
        except Refusal as no:
            refusal = no
        else:
            return redirect(_next_address(request, outcome))
    record = record_of(unit)
    if record.procedure is None or step not in record.procedure.steps:
        raise Http404
    page = _page(request, unit, record, seen, record.procedure.steps[step])
    page |= {
        "refusal": shown_refusal(refusal, request) if refusal else None,
        "refused_box": text_of(request, "box") if refusal else "",
    }
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
    reader = reader_of(person(request))
    status_of = statuses(record)
    status = status_of[step.step]
    codes = list(record.procedure.steps)
    place = codes.index(step.step)
    who = str(person(request).pk)
    return {
        **about(unit, record, seen, reader),
        **(source := source_context(request, record, seen.site)),
        **_permissions(
            record,
            step,
            context_now(person(request), seen.roles),
            copying=bool(source["copying"]),
        ),
        "step": step,
        "status": status.value,
        "status_text": status_text(status, reader),
        "step_state": record.step_state(step.step),
        "signatures": [
            (meaning(one.meaning, reader), one.stamp)
            for one in record.step_state(step.step).signatures.values()
        ],
        "cautions": cautions_of(record, step),
        "statements": {
            command.verb(): statement(command.tag(), reader)
            for command in (AcknowledgeCautions, SignStep, CheckStep)
        },
        "boxes": boxes_of(record, step, who, instruments_at(seen.site), reader),
        "may_mark": bool(MarkPeople.permission.roles & seen.roles),
        "sees_people": may_see(Personal.PHOTO, seen.roles),
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


def _permissions(record: Record, step: Step, context: Context, *, copying: bool) -> dict[str, Any]:
    """What this person may do in the step now, by the guards that refuse it otherwise."""

    def why_not(command: type[StepCommand]) -> str:
        refusal = command.refusal_in(record, context, step)
        return refusal.code if refusal else ""

    copies = TakeReading.refusal_in(record, context, step, on_paper=True)
    copied = copies.code if copies else ""
    entered = copied if copying else why_not(TakeReading)
    signed, checked = why_not(SignStep), why_not(CheckStep)
    return {
        "may_copy": copied in {"", "caution-first"},
        "must_read": entered == "caution-first",
        "may_enter": not entered,
        "may_sign": not signed,
        "awaits_writer": writers(record, step).values() if signed == "not-the-writer" else [],
        "may_check": not checked,
        "awaits_another": checked == "same-person",
        "may_skip": not why_not(SkipStep),
        "may_reopen": not why_not(ReopenStep),
    }


def _box(request: HttpRequest) -> dict[str, str]:
    """The line and the position of a box in the request."""
    line, _, position = text_of(request, "box").partition("|")
    return {"line": line, "position": position}


def _correction(request: HttpRequest) -> dict[str, str]:
    """The entry that an answer corrects, and why."""
    return {name: text_of(request, name) for name in ("supersedes", "reason")}


def _reading(request: HttpRequest, step: str) -> Command:
    return TakeReading(
        step=step,
        text=request.POST.get("text", ""),
        unit=text_of(request, "unit"),
        instrument=text_of(request, "instrument"),
        confirmed=text_of(request, "confirmed") == "yes",
        paper=source_of(request),
        **_box(request),
        **_correction(request),
    )


def _omitted(request: HttpRequest, step: str) -> Command:
    return OmitReading(
        step=step,
        because=text_of(request, "because"),
        paper=source_of(request),
        **_box(request),
        **_correction(request),
    )


def _check(request: HttpRequest, step: str) -> Command:
    return CompleteCheck(
        step=step,
        answer=text_of(request, "answer") == "yes",
        note=text_of(request, "note"),
        paper=source_of(request),
        **_box(request),
        **_correction(request),
    )


def _setting(request: HttpRequest, step: str) -> Command:
    return CheckSetting(
        step=step,
        text=request.POST.get("text", ""),
        checked=number_of(request, "checked"),
        moved=number_of(request, "moved"),
        unit=text_of(request, "unit"),
        instrument=text_of(request, "instrument"),
        paper=source_of(request),
        **_box(request),
        **_correction(request),
    )


def _signing(request: HttpRequest) -> dict[str, str]:
    return {name: text_of(request, name) for name in ("seen", "pin")}


# What a form of the page sends as `do`, and the command it stands for.
COMMANDS: Final[dict[str, Callable[[HttpRequest, str], Command]]] = {
    "acknowledge": lambda r, step: AcknowledgeCautions(step=step),
    "reading": _reading,
    "omit": _omitted,
    "check": _check,
    "setting": _setting,
    "photo": lambda r, step: AttachPhoto(step=step, people="people" in r.POST, **_box(r)),
    "paper": lambda r, step: AttachPage(mark=text_of(r, "mark"), note=text_of(r, "note")),
    "sign": lambda r, step: SignStep(step=step, **_signing(r)),
    "second": lambda r, step: CheckStep(step=step, **_signing(r)),
    "skip": lambda r, step: SkipStep(step=step, reason=text_of(r, "reason")),
    "reopen": lambda r, step: ReopenStep(step=step, reason=text_of(r, "reason")),
}


def _carry_out(
    make: Callable[[HttpRequest, str], Command], request: HttpRequest, unit: UUID, step: str
) -> Outcome:
    command = make(request, step)
    return perform(
        command,
        actor=person(request),
        target=unit,
        submission=submission_of(request),
        attachment=picture_of(request) if command.attachment else None,
    )
