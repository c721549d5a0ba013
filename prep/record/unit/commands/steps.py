"""Commands on a step as a whole: cautions, skipping, signing, re-opening."""

import hashlib

from prep.record.log import canonical_json
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, Role, require
from prep.record.unit import events as e
from prep.record.unit.commands.handwritten import writers
from prep.record.unit.guards import box_name, find_step, open_for_work
from prep.record.unit.sheet import (
    Status,
    applies,
    cautions_of,
    content_digest,
    open_boxes,
    statuses,
)
from prep.record.unit.state import PREPARED, SECOND_PERSON, Record


def acknowledge(record: Record, context: Context, *, step: str) -> list[e.Event]:
    """Record that the actor has read the cautions of a step."""
    require(context, SERVICE, "work on the sheet")
    sheet_step = find_step(record, step)
    if not sheet_step.cautions:
        raise Refusal("no-cautions", f"{sheet_step.title} has no cautions to acknowledge.")
    if context.actor.id in record.step_state(step).acknowledged:
        raise Refusal("already-acknowledged", "You have already acknowledged these cautions.")
    texts = {
        code: [caution.severity, caution.text]
        for code, caution in cautions_of(record, sheet_step).items()
    }
    digest = hashlib.sha256(canonical_json.encode(texts)).hexdigest()
    return [e.CautionAcknowledged(step, sheet_step.cautions, digest)]


def skip(record: Record, context: Context, *, step: str, reason: str) -> list[e.Event]:
    """Mark a step not applicable, with a reason; refused for steps that are never skipped."""
    sheet_step = find_step(record, step)
    if sheet_step.skip == "never":
        raise Refusal(
            "never-skipped",
            f"{sheet_step.title} protects people or the machine; it is always done.",
        )
    require(
        context,
        SERVICE if sheet_step.skip == "technician" else MANAGER,
        f"mark “{sheet_step.title}” not applicable",
    )
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the step does not apply.", field="reason")
    if not applies(record, sheet_step) or record.step_state(step).skipped:
        raise Refusal("does-not-apply", f"{sheet_step.title} already does not apply to this unit.")
    if PREPARED in record.step_state(step).signatures:
        raise Refusal("signed", f"{sheet_step.title} is signed. Re-open it with a reason first.")
    if any((step, *box) in record.open_flag_at for box in sheet_step.boxes):
        raise Refusal(
            "flag-open",
            f"{sheet_step.title} has an open flag. Close it by a conforming entry or a concession.",
        )
    return [e.StepSkipped(step, reason)]


def reopen(record: Record, context: Context, *, step: str, reason: str) -> list[e.Event]:
    """Re-open a signed or skipped step, with a reason; refused once the unit is released."""
    require(context, SERVICE, "re-open steps")
    sheet_step = find_step(record, step)
    if record.release:
        raise Refusal("released", "This unit is released. Re-open the unit, naming this step.")
    state = record.step_state(step)
    if not (state.signatures or state.skipped):
        raise Refusal("not-signed", f"{sheet_step.title} is still open; go on working on it.")
    if state.skipped:
        require(context, SERVICE if sheet_step.skip == "technician" else MANAGER, "take that back")
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the step is re-opened.", field="reason")
    return [e.StepReopened(step, reason)]


def sign(record: Record, context: Context, *, step: str, seen: str) -> list[e.Event]:
    """Sign a step as prepared; `seen` is the digest of the content the person was shown."""
    sheet_step = find_step(record, step)
    open_for_work(record, context, sheet_step)
    _check_seen(record, sheet_step, seen)
    _check_writer(record, context, sheet_step)
    missing = open_boxes(record, sheet_step)
    if missing:
        names = "; ".join(box_name(sheet_step, (step, *box)) for box in missing)
        raise Refusal("incomplete", f"Not ready to sign. Still open: {names}.", boxes=missing)
    return [e.StepSigned(step, PREPARED, seen)]


def _check_writer(record: Record, context: Context, step: Step) -> None:
    """Refuse a signature on copied entries by anybody but one of their writers."""
    names = writers(record, step)
    if names and context.actor.id not in names:
        raise Refusal(
            "not-the-writer",
            f"{step.title} was copied from paper that {' and '.join(names.values())} wrote. "
            "Whoever did the work signs it, with their own PIN.",
        )


def check_as_second(record: Record, context: Context, *, step: str, seen: str) -> list[e.Event]:
    """Sign a step as second person; refused for anybody who signed or made entries in it."""
    require(context, SERVICE, "check as second person")
    sheet_step = find_step(record, step)
    status = statuses(record)[step]
    if not sheet_step.second_person:
        raise Refusal("no-second-person", f"{sheet_step.title} asks for no second person.")
    if status is not Status.AWAITS_SECOND:
        text = "is already checked" if status is Status.DONE else "is not signed as prepared yet"
        raise Refusal("not-ready-for-second", f"{sheet_step.title} {text}.")
    _check_seen(record, sheet_step, seen)
    if context.actor.id in participants(record, sheet_step):
        raise Refusal(
            "same-person",
            "The second check is by a second person: somebody who neither signed nor entered "
            "anything in this step.",
        )
    return [e.StepSigned(step, SECOND_PERSON, seen)]


def participants(record: Record, step: Step) -> set[str]:
    """Ids of the people who signed the step as prepared, or wrote or made entries in it."""
    people = {record.steps[step.step].signatures[PREPARED].stamp.actor, *writers(record, step)}
    for box in step.boxes:
        state = record.boxes.get((step.step, *box))
        if state and state.current:
            people.add(state.current.stamp.actor)
    return people


def _check_seen(record: Record, step: Step, seen: str) -> None:
    if seen != content_digest(record, step):
        raise Refusal(
            "content-changed",
            f"{step.title} changed since it was shown. Look at it again, then sign.",
            field="seen",
        )


def may_work(step: Step, roles: frozenset[Role]) -> bool:
    """Whether a person with these roles may do the step."""
    return any(role.value in step.who for role in roles)
