"""What may be done with a step as a whole: cautions, skipping, signing, re-opening."""

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
    """This person has read the cautions of a step."""
    require(context, SERVICE, "work on the sheet")
    where = find_step(record, step)
    if not where.cautions:
        raise Refusal("no-cautions", f"{where.title} has no cautions to acknowledge.")
    if context.actor.id in record.step_state(step).acknowledged:
        raise Refusal("already-acknowledged", "You have already acknowledged these cautions.")
    texts = {
        code: [caution.severity, caution.text]
        for code, caution in cautions_of(record, where).items()
    }
    digest = hashlib.sha256(canonical_json.encode(texts)).hexdigest()
    return [e.CautionAcknowledged(step, where.cautions, digest)]


def skip(record: Record, context: Context, *, step: str, reason: str) -> list[e.Event]:
    """Mark a step not applicable, with a reason; safety steps cannot be."""
    where = find_step(record, step)
    if where.skip == "never":
        raise Refusal(
            "never-skipped", f"{where.title} protects people or the machine; it is always done."
        )
    require(
        context,
        SERVICE if where.skip == "technician" else MANAGER,
        f"mark “{where.title}” not applicable",
    )
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the step does not apply.", field="reason")
    if not applies(record, where) or record.step_state(step).skipped:
        raise Refusal("does-not-apply", f"{where.title} already does not apply to this unit.")
    if PREPARED in record.step_state(step).signatures:
        raise Refusal("signed", f"{where.title} is signed. Re-open it with a reason first.")
    if any((step, *box) in record.open_flag_at for box in where.boxes):
        raise Refusal(
            "flag-open",
            f"{where.title} has an open flag. Close it by a conforming entry or a concession.",
        )
    return [e.StepSkipped(step, reason)]


def reopen(record: Record, context: Context, *, step: str, reason: str) -> list[e.Event]:
    """A step is to be worked again; only before release."""
    require(context, SERVICE, "re-open steps")
    where = find_step(record, step)
    if record.release:
        raise Refusal("released", "This unit is released. Re-open the unit, naming this step.")
    state = record.step_state(step)
    if not (state.signatures or state.skipped):
        raise Refusal("not-signed", f"{where.title} is still open; go on working on it.")
    if state.skipped:
        require(context, SERVICE if where.skip == "technician" else MANAGER, "take that back")
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the step is re-opened.", field="reason")
    return [e.StepReopened(step, reason)]


def sign(record: Record, context: Context, *, step: str, seen: str) -> list[e.Event]:
    """Sign a step as prepared, over exactly the content whose digest the person was shown."""
    where = find_step(record, step)
    open_for_work(record, context, where)
    _seen(record, where, seen)
    _by_its_writer(record, context, where)
    missing = open_boxes(record, where)
    if missing:
        names = "; ".join(box_name(where, (step, *box)) for box in missing)
        raise Refusal("incomplete", f"Not ready to sign. Still open: {names}.", boxes=missing)
    return [e.StepSigned(step, PREPARED, seen)]


def _by_its_writer(record: Record, context: Context, step: Step) -> None:
    """What was copied from paper is signed by whoever did the work, never by a mere copier."""
    names = writers(record, step)
    if names and context.actor.id not in names:
        raise Refusal(
            "not-the-writer",
            f"{step.title} was copied from paper that {' and '.join(names.values())} wrote. "
            "Whoever did the work signs it, with their own PIN.",
        )


def check_as_second(record: Record, context: Context, *, step: str, seen: str) -> list[e.Event]:
    """Second-person check: by another person than whoever prepared or entered anything in it."""
    require(context, SERVICE, "check as second person")
    where = find_step(record, step)
    status = statuses(record)[step]
    if not where.second_person:
        raise Refusal("no-second-person", f"{where.title} asks for no second person.")
    if status is not Status.AWAITS_SECOND:
        text = "is already checked" if status is Status.DONE else "is not signed as prepared yet"
        raise Refusal("not-ready-for-second", f"{where.title} {text}.")
    _seen(record, where, seen)
    if context.actor.id in hands_in(record, where):
        raise Refusal(
            "same-person",
            "The second check is by a second person: somebody who neither signed nor entered "
            "anything in this step.",
        )
    return [e.StepSigned(step, SECOND_PERSON, seen)]


def hands_in(record: Record, step: Step) -> set[str]:
    """Ids of everybody who signed, wrote or entered anything in a step."""
    hands = {record.steps[step.step].signatures[PREPARED].stamp.actor, *writers(record, step)}
    for box in step.boxes:
        state = record.boxes.get((step.step, *box))
        if state and state.current:
            hands.add(state.current.stamp.actor)
    return hands


def _seen(record: Record, step: Step, seen: str) -> None:
    if seen != content_digest(record, step):
        raise Refusal(
            "content-changed",
            f"{step.title} changed since it was shown. Look at it again, then sign.",
            field="seen",
        )


def may_work(step: Step, roles: frozenset[Role]) -> bool:
    """Whether someone with these roles is among those who do the step."""
    return any(role.value in step.who for role in roles)
