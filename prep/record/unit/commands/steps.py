"""Commands on a step as a whole: cautions, skipping, signing, re-opening."""

import hashlib
from collections.abc import Sequence
from typing import Any

from prep.record.command import Facts
from prep.record.fields import Digest, Pin, Reason
from prep.record.log import canonical_json
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
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
from prep.record.unit.step_command import StepCommand


class AcknowledgeCautions(StepCommand, frozen=True, kw_only=True, tag="caution.acknowledge"):
    """Record that the person has read the cautions of a step and will follow them."""

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step has cautions, which the person has not acknowledged."""
        if not step.cautions:
            raise Refusal("no-cautions", f"{step.title} has no cautions to acknowledge.")
        if context.actor.id in record.step_state(step.step).acknowledged:
            raise Refusal("already-acknowledged", "You have already acknowledged these cautions.")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The event holds the digest of the cautions as they were shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        texts = {
            code: [caution.severity, caution.text]
            for code, caution in cautions_of(state, step).items()
        }
        digest = hashlib.sha256(canonical_json.encode(texts)).hexdigest()
        return [e.CautionAcknowledged(self.step, step.cautions, digest)]


class SkipStep(StepCommand, frozen=True, kw_only=True, tag="step.skip"):
    """Mark a step not applicable, with a reason."""

    reason: Reason

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step may be skipped, by this person, and is not done, skipped or flagged."""
        if step.skip == "never":
            raise Refusal(
                "never-skipped",
                f"{step.title} protects people or the machine; it is always done.",
            )
        _check_may_skip(context, step)
        if not applies(record, step) or record.step_state(step.step).skipped:
            raise Refusal("does-not-apply", f"{step.title} already does not apply to this unit.")
        if PREPARED in record.step_state(step.step).signatures:
            raise Refusal("signed", f"{step.title} is signed. Re-open it with a reason first.")
        if any((step.step, *box) in record.open_flag_at for box in step.boxes):
            raise Refusal(
                "flag-open",
                f"{step.title} has an open flag. Close it by a conforming entry or a concession.",
            )

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The step does not apply until it is re-opened."""
        self.guard_step(state, context, find_step(state, self.step))
        return [e.StepSkipped(self.step, self.reason)]


def _check_may_skip(context: Context, step: Step) -> None:
    if not context.actor.roles & (SERVICE if step.skip == "technician" else MANAGER):
        raise Refusal(
            "not-allowed",
            f"Only a service manager may mark “{step.title}” not applicable, or take that back.",
        )


class ReopenStep(StepCommand, frozen=True, kw_only=True, tag="step.reopen"):
    """Re-open a signed or skipped step, with a reason."""

    reason: Reason

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The unit is not released, and the step signed or skipped."""
        if record.release:
            raise Refusal("released", "This unit is released. Re-open the unit, naming this step.")
        state = record.step_state(step.step)
        if not (state.signatures or state.skipped):
            raise Refusal("not-signed", f"{step.title} is still open; go on working on it.")
        if state.skipped:
            _check_may_skip(context, step)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Its sign-offs no longer count."""
        self.guard_step(state, context, find_step(state, self.step))
        return [e.StepReopened(self.step, self.reason)]


class SignStep(StepCommand, frozen=True, kw_only=True, tag="step.sign"):
    """Sign a step as prepared; `seen` is the digest of the content as it was shown."""

    seen: Digest
    pin: Pin

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """Every box is answered; copied entries are signed by one of their writers."""
        open_for_work(record, context, step)
        names = writers(record, step)
        if names and context.actor.id not in names:
            raise Refusal(
                "not-the-writer",
                f"{step.title} was copied from paper that {' and '.join(names.values())} wrote. "
                "Whoever did the work signs it, with their own PIN.",
            )
        missing = open_boxes(record, step)
        if missing:
            boxes = "; ".join(box_name(step, (step.step, *box)) for box in missing)
            raise Refusal("incomplete", f"Not ready to sign. Still open: {boxes}.", boxes=missing)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The content is what the person was shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        _check_seen(state, step, self.seen)
        return [e.StepSigned(self.step, PREPARED, self.seen)]


class CheckStep(StepCommand, frozen=True, kw_only=True, tag="step.check"):
    """Sign a step as second person; `seen` is the digest of the content as it was shown."""

    seen: Digest
    pin: Pin

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step awaits a second person, who neither signed nor entered anything in it."""
        status = statuses(record)[step.step]
        if not step.second_person:
            raise Refusal("no-second-person", f"{step.title} asks for no second person.")
        if status is not Status.AWAITS_SECOND:
            text = (
                "is already checked" if status is Status.DONE else "is not signed as prepared yet"
            )
            raise Refusal("not-ready-for-second", f"{step.title} {text}.")
        if context.actor.id in participants(record, step):
            raise Refusal(
                "same-person",
                "The second check is by a second person: somebody who neither signed nor entered "
                "anything in this step.",
            )

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The content is what the person was shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        _check_seen(state, step, self.seen)
        return [e.StepSigned(self.step, SECOND_PERSON, self.seen)]


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
