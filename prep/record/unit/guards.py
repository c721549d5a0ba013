"""Preconditions of commands on a unit, its sheet, steps and lines.

Each raises Refusal where the precondition is not met. The checks of a step run in the order in
which a person needs to hear of them.
"""

from collections.abc import Iterable, Iterator

from prep.record.moments import Bound
from prep.record.procedure.document import MUST_FIND, Procedure, Step
from prep.record.procedure.line import Line
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.unit.sheet import FINISHED, Status, applies, open_boxes, statuses, waits_for
from prep.record.unit.state import BoxKey, Record, Release, Stamp
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.serial_schemes import SerialRange


def received(record: Record) -> None:
    """Refuse a unit that is not received yet, or whose record ended in another."""
    if record.received is None:
        raise Refusal("not-received")
    if record.joined_into:
        into = record.joined_into[0]
        raise Refusal("joined-away", unit=into.unit, serial=into.serial)


def not_finished(record: Record) -> None:
    """Refuse a unit that is not received yet, ended in another, on hold, or handed over."""
    received(record)
    if record.handover:
        raise Refusal("handed-over")
    if record.held:
        raise Refusal("on-hold", reason=record.held[0])


def changeable(record: Record) -> None:
    """Refuse changes to the sheet of a unit that is released for its buyer."""
    not_finished(record)
    if record.release and record.release.event.ready_for == "buyer":
        raise Refusal("released")


def unreleased(record: Record) -> None:
    """Refuse a released unit: it has to be re-opened first."""
    not_finished(record)
    if record.release:
        raise Refusal("released")


def sheet(record: Record) -> Procedure:
    """Procedure of the unit's sheet; Refusal where the sheet has not been started."""
    changeable(record)
    if record.procedure is None:
        raise Refusal("no-sheet")
    return record.procedure


def find_step(record: Record, code: str) -> Step:
    """Step of the sheet by its code; Refusal where there is none."""
    step = sheet(record).steps.get(code)
    if step is None:
        raise Refusal("no-such-step", field="step", step=code)
    return step


def find_line(step: Step, code: str, position: str) -> Line:
    """Line of a step by its code; Refusal where the line or the position does not exist."""
    line = step.by_line.get(code)
    if line is None:
        raise Refusal("no-such-line", field="line", step_title=step.title, line=code)
    if position not in line.boxes:
        if not line.places:
            raise Refusal("no-positions", field="position", ask=line.ask)
        raise Refusal("no-such-position", field="position", positions=line.places)
    return line


def open_for_work(record: Record, context: Context, step: Step, *, on_paper: bool = False) -> None:
    """Refuse unless the actor may make entries in a step now, or sign it.

    For entries copied from paper the earlier steps must be answered but may be signed later: the
    order in which the steps were done is not the order in which they are copied.
    """
    if not any(role.value in step.who for role in context.actor.roles):
        raise Refusal("not-allowed", roles=tuple(map(Role, step.who)))
    named = context.named
    if named and not any(role.value in step.who for role in named.roles):
        raise Refusal(
            "not-the-work-of",
            field="author",
            step_title=step.title,
            roles=tuple(map(Role, step.who)),
            writer=named.name,
        )
    _applicable(record, step)
    status_of = statuses(record)
    missing = waits_for(step, status_of)
    if on_paper:
        steps = sheet(record).steps
        missing = [code for code in missing if open_boxes(record, steps[code])]
    if missing:
        raise _too_early(record, step, missing)
    if status_of[step.step] in {Status.DONE, Status.AWAITS_SECOND}:
        raise Refusal("signed", step_title=step.title)
    if step.cautions and context.actor.id not in record.step_state(step.step).acknowledged:
        raise Refusal("caution-first", step_title=step.title, cautions=list(step.cautions))


def after_work(stamps: Iterable[Stamp]) -> Iterator[Bound]:
    """What a signature cannot have been given before: the last of what it stands for."""
    last = max((stamp.happened for stamp in stamps), default=None)
    if last:
        yield Bound(last, Refusal("happened-before-work", moment=last))


def after_release(release: Release | None) -> Iterator[Bound]:
    """What follows from a release cannot have happened before it."""
    if release:
        moment = release.stamp.happened
        yield Bound(moment, Refusal("happened-before-release", moment=moment))


def reopenable(record: Record, step: Step, *, field: str = "") -> None:
    """Refuse to re-open a step that is neither signed nor marked not applicable."""
    if not can_reopen(record, step):
        raise Refusal("not-signed", field=field, step_title=step.title)


def can_reopen(record: Record, step: Step) -> bool:
    """Whether a step is signed or marked not applicable."""
    state = record.steps.get(step.step)
    return state is not None and bool(state.signatures or state.skipped)


def _applicable(record: Record, step: Step) -> None:
    if not applies(record, step):
        raise Refusal("does-not-apply", step_title=step.title)
    if step.needs_tractor and record.tractor is None:
        raise Refusal("needs-tractor")
    if record.step_state(step.step).skipped:
        raise Refusal("marked-not-applicable", step_title=step.title)


def _too_early(record: Record, step: Step, missing: list[str]) -> Refusal:
    """Refusal of a step before its turn; names the danger if a safe state is missing."""
    assert record.procedure is not None
    steps = record.procedure.steps
    titles = [steps[code].title for code in missing]
    wanted = {hazard for task in step.work for hazard in MUST_FIND[task]}
    missed = sorted(
        {hazard for code in missing for hazard in steps[code].makes if hazard in wanted}
    )
    if missed:
        return Refusal(
            "not-safe-yet", work=list(step.work), states=missed, titles=titles, waits_for=missing
        )
    return Refusal("too-early", step_title=step.title, titles=titles, waits_for=missing)


def unfinished(record: Record, *, tractor_steps: bool) -> list[tuple[Step, Status]]:
    """Unfinished steps and their status: those that need the buyer's tractor, or the others."""
    if record.procedure is None:
        return []
    steps = record.procedure.steps
    return [
        (steps[code], status)
        for code, status in statuses(record).items()
        if status not in FINISHED and steps[code].needs_tractor == tractor_steps
    ]


def box_name(step: Step, key: BoxKey) -> str:
    """A box in words: what its line asks, and the position."""
    line = step.by_line[key[1]]
    return f"{line.ask} ({key[2]})" if key[2] else line.ask


def check_fits(record: Record, procedure: Procedure) -> None:
    """Refuse a procedure that is not for the unit's model or its serial number."""
    if record.model is None:
        raise Refusal("no-model")
    if record.model.code not in procedure.models:
        raise Refusal(
            "other-model",
            field="procedure",
            procedure=procedure.procedure,
            models=procedure.models,
            model=record.model.code,
        )
    if procedure.serials and not _covers(procedure.serials, record.serial):
        raise Refusal(
            "other-serials",
            field="procedure",
            procedure=procedure.procedure,
            revision=procedure.revision,
            first=procedure.serials.first,
            last=procedure.serials.last,
        )


def fits(record: Record) -> bool:
    """Whether the procedure the unit is prepared by is for it; so it is before there is one."""
    if record.procedure is None:
        return True
    try:
        check_fits(record, record.procedure)
    except Refusal:
        return False
    return True


def _covers(serials: SerialRange, serial: str) -> bool:
    try:
        return serials.covers(serial)
    except RuleRefusal as no:
        raise Refusal("serial-unlike-range", field="serial", why=no.phrase) from no
