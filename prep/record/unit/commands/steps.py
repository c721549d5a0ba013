"""Commands on a step as a whole: cautions, skipping, signing, re-opening."""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.fields import Digest, Pin, Reason
from prep.record.log import canonical_json
from prep.record.moments import Bound
from prep.record.needs import WORDING
from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.commands.handwritten import writers
from prep.record.unit.guards import (
    after_work,
    box_name,
    find_step,
    open_for_work,
    reopenable,
)
from prep.record.unit.sheet import (
    Status,
    applies,
    cautions_of,
    content_digest,
    open_boxes,
    statuses,
)
from prep.record.unit.state import PREPARED, SECOND_PERSON, Record, Stamp
from prep.record.unit.step_command import StepCommand


class AcknowledgeCautions(StepCommand, frozen=True, kw_only=True, tag="caution.acknowledge"):
    """Record that the person has read the cautions of a step and will follow them."""

    needs: ClassVar = (WORDING,)

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step has cautions, which the person has not acknowledged."""
        if not step.cautions:
            raise Refusal("no-cautions", step_title=step.title)
        if context.actor.id in record.step_state(step.step).acknowledged:
            raise Refusal("already-acknowledged")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The event holds the digest of the cautions as they were shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        texts = {
            code: [caution.severity, caution.text]
            for code, caution in cautions_of(state, step).items()
        }
        digest = hashlib.sha256(canonical_json.encode(texts)).hexdigest()
        return [e.CautionAcknowledged(self.step, step.cautions, digest, facts[WORDING])]


class SkipStep(StepCommand, frozen=True, kw_only=True, tag="step.skip"):
    """Mark a step not applicable, with a reason."""

    reason: Reason

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step may be skipped, by this person, and is not done, skipped or flagged."""
        if step.skip == "never":
            raise Refusal("never-skipped", step_title=step.title)
        _check_may_skip(context, step)
        if not applies(record, step) or record.step_state(step.step).skipped:
            raise Refusal("does-not-apply", step_title=step.title)
        if PREPARED in record.step_state(step.step).signatures:
            raise Refusal("signed", step_title=step.title)
        if any((step.step, *box) in record.open_flag_at for box in step.boxes):
            raise Refusal("flag-open", step_title=step.title)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The step does not apply until it is re-opened."""
        self.guard_step(state, context, find_step(state, self.step))
        return [e.StepSkipped(self.step, self.reason)]


def _check_may_skip(context: Context, step: Step) -> None:
    if not context.actor.roles & (SERVICE if step.skip == "technician" else MANAGER):
        raise Refusal("not-allowed", roles=tuple(MANAGER))


class ReopenStep(StepCommand, frozen=True, kw_only=True, tag="step.reopen"):
    """Re-open a signed or skipped step, with a reason."""

    reason: Reason

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The unit is not released, and the step signed or skipped."""
        if record.release:
            raise Refusal("released")
        reopenable(record, step)
        if record.step_state(step.step).skipped:
            _check_may_skip(context, step)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Its sign-offs no longer count."""
        self.guard_step(state, context, find_step(state, self.step))
        return [e.StepReopened(self.step, self.reason)]


class SignStep(StepCommand, frozen=True, kw_only=True, tag="step.sign"):
    """Sign a step as prepared; `seen` is the digest of the content as it was shown."""

    needs: ClassVar = (WORDING,)

    seen: Digest
    pin: Pin

    def bounds(self, state: Record) -> Iterator[Bound]:
        """Also the entries that are signed."""
        yield from super().bounds(state)
        yield from after_work(_stamps(state, find_step(state, self.step)))

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """Every box is answered; entries of others are signed by one of them."""
        open_for_work(record, context, step)
        _check_whose(record, context, step)
        missing = open_boxes(record, step)
        if missing:
            raise Refusal(
                "incomplete",
                boxes=missing,
                open_boxes=[box_name(step, (step.step, *box)) for box in missing],
            )

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The content is what the person was shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        _check_seen(state, step, self.seen)
        return [e.StepSigned(self.step, PREPARED, self.seen, facts[WORDING])]


class CheckStep(StepCommand, frozen=True, kw_only=True, tag="step.check"):
    """Sign a step as second person; `seen` is the digest of the content as it was shown."""

    needs: ClassVar = (WORDING,)

    seen: Digest
    pin: Pin

    def bounds(self, state: Record) -> Iterator[Bound]:
        """Also the signature of the person who prepared it."""
        yield from super().bounds(state)
        yield from after_work(s.stamp for s in state.step_state(self.step).signatures.values())

    @classmethod
    def guard_step(cls, record: Record, context: Context, step: Step, **more: Any) -> None:
        """The step awaits a second person, who neither signed nor entered anything in it."""
        status = statuses(record)[step.step]
        if not step.second_person:
            raise Refusal("no-second-person", step_title=step.title)
        if status is not Status.AWAITS_SECOND:
            if status is Status.DONE:
                raise Refusal("already-checked", step_title=step.title)
            raise Refusal("not-ready-for-second", step_title=step.title)
        if context.actor.id in participants(record, step):
            raise Refusal("same-person")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The content is what the person was shown."""
        step = find_step(state, self.step)
        self.guard_step(state, context, step)
        _check_seen(state, step, self.seen)
        return [e.StepSigned(self.step, SECOND_PERSON, self.seen, facts[WORDING])]


def _check_whose(record: Record, context: Context, step: Step) -> None:
    """Refuse a signature over others' entries.

    Copied ones are signed by one of their writers. Others that a device named an author for are
    signed by one of those named, or by one of those who sent them.
    """
    names = writers(record, step)
    if names:
        if context.actor.id not in names:
            raise Refusal("not-the-writer", step_title=step.title, writers=tuple(names.values()))
        return
    stamps = [stamp for stamp in _stamps(record, step) if stamp.named]
    named = {stamp.named.id: stamp.named.name for stamp in stamps if stamp.named}
    sent = {stamp.actor: stamp.name for stamp in stamps}
    if stamps and context.actor.id not in {**named, **sent}:
        raise Refusal(
            "not-the-author",
            step_title=step.title,
            authors=tuple(named.values()),
            senders=tuple(sent.values()),
        )


def _stamps(record: Record, step: Step) -> list[Stamp]:
    """The stamps of a step's current entries."""
    boxes = (record.boxes.get((step.step, *box)) for box in step.boxes)
    return [box.current.stamp for box in boxes if box and box.current]


def participants(record: Record, step: Step) -> set[str]:
    """Ids of the people who signed the step as prepared, or wrote, sent or made entries in it."""
    people = {record.steps[step.step].signatures[PREPARED].stamp.actor, *writers(record, step)}
    for stamp in _stamps(record, step):
        people |= {stamp.actor, *([stamp.named.id] if stamp.named else [])}
    return people


def _check_seen(record: Record, step: Step, seen: str) -> None:
    if seen != content_digest(record, step):
        raise Refusal("content-changed", field="seen")
