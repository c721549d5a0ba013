"""The step page: cautions first, then one box for each value, then the signature."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions import readings, steps
from prep.actions.writing import Outcome
from prep.pages.boxes import boxes_of, instruments_for
from prep.pages.forms import command_of, new_command, person, signed_in, text_of, unit_seen
from prep.pages.views_unit import about
from prep.queries.records import record_of
from prep.queries.shop import instruments_at
from prep.queries.units import Seen
from prep.record.procedure import Step
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE
from prep.record.sheet import Status, cautions_of, content_digest, statuses, waits_for
from prep.record.unit import PREPARED, Record

Doing = Callable[[HttpRequest, UUID, str], Outcome]


@signed_in
def step(request: HttpRequest, unit: UUID, step: str) -> HttpResponse:
    """Look at a step, or do something in it."""
    seen = unit_seen(request, unit)
    refusal: Refusal | None = None
    if request.method == "POST":
        doing = DOINGS.get(text_of(request, "do"))
        if doing is None:
            raise Http404
        try:
            doing(request, unit, step)
        except Refusal as no:
            refusal = no
        else:
            return redirect(f"{request.path}#{text_of(request, 'box') or 'top'}")
    record = record_of(unit)
    if record.procedure is None or step not in record.procedure.steps:
        raise Http404
    page = _page(request, unit, record, seen, record.procedure.steps[step])
    page |= {"refusal": refusal, "refused_box": text_of(request, "box") if refusal else ""}
    return render(request, "step.html", page, status=409 if refusal else 200)


def _page(
    request: HttpRequest, unit: UUID, record: Record, seen: Seen, step: Step
) -> dict[str, Any]:
    found = statuses(record)
    status = found[step.step]
    who = person(request)
    read = str(who.pk) in record.step_state(step.step).acknowledged
    works = bool(seen.roles & SERVICE)
    assert record.procedure is not None
    codes = list(record.procedure.steps)
    place = codes.index(step.step)
    instruments = instruments_at(seen.site)
    open_now = status in {Status.TO_DO, Status.BEGUN, Status.FLAGGED, Status.TO_SIGN}
    return {
        **about(unit, record, seen),
        "step": step,
        "status": status.value,
        "step_state": record.step_state(step.step),
        "cautions": cautions_of(record, step),
        "must_read": works and open_now and bool(step.cautions) and not read,
        "may_enter": works and open_now and (read or not step.cautions),
        "may_sign": works and status is Status.TO_SIGN,
        "may_check": works and status is Status.AWAITS_SECOND,
        "may_skip": works and open_now and step.skip != "never",
        "may_reopen": works
        and bool(record.step_state(step.step).signatures)
        and not record.release,
        "boxes": [(box, instruments_for(box.line, instruments)) for box in boxes_of(record, step)],
        "waits_for": [record.procedure.steps[code] for code in waits_for(step, found)],
        "seen_digest": content_digest(record, step),
        "typed": request.POST,
        "command_id": request.POST.get("command") or new_command(),
        "new_command": new_command,
        "previous": codes[place - 1] if place else "",
        "next": codes[place + 1] if place + 1 < len(codes) else "",
        "prepared": PREPARED,
    }


def _where(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    """Who, which command, and which box."""
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
    return readings.take(
        **_where(request, unit, step),
        text=request.POST.get("text", ""),
        instrument=text_of(request, "instrument"),
        supersedes=text_of(request, "supersedes"),
        reason=text_of(request, "reason"),
        copied_from_paper="copied_from_paper" in request.POST,
    )


def _check(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    return readings.complete_check(
        **_where(request, unit, step),
        answer=text_of(request, "answer") == "yes",
        note=text_of(request, "note"),
        supersedes=text_of(request, "supersedes"),
        reason=text_of(request, "reason"),
        copied_from_paper="copied_from_paper" in request.POST,
    )


def _photo(request: HttpRequest, unit: UUID, step: str) -> Outcome:
    sent = request.FILES.get("photo")
    if sent is None:
        raise Refusal("photo-missing", "Choose or take a picture first.", field="photo")
    if (sent.size or 0) > readings.LARGEST_PHOTO:
        raise Refusal("photo-too-large", "The picture is over 12 MB. Send a smaller one.")
    return readings.attach_photo(**_where(request, unit, step), content=sent.read())


def _signing(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    return {
        "actor": person(request),
        "command": command_of(request),
        "unit": unit,
        "step": step,
        "seen": text_of(request, "seen"),
        "pin": text_of(request, "pin"),
    }


def _reasoned(request: HttpRequest, unit: UUID, step: str) -> dict[str, Any]:
    return {
        "actor": person(request),
        "command": command_of(request),
        "unit": unit,
        "step": step,
        "reason": text_of(request, "reason"),
    }


DOINGS: dict[str, Doing] = {
    "acknowledge": _acknowledge,
    "reading": _reading,
    "check": _check,
    "photo": _photo,
    "sign": lambda r, u, s: steps.sign(**_signing(r, u, s)),
    "second": lambda r, u, s: steps.check_as_second(**_signing(r, u, s)),
    "skip": lambda r, u, s: steps.skip(**_reasoned(r, u, s)),
    "reopen": lambda r, u, s: steps.reopen(**_reasoned(r, u, s)),
}
