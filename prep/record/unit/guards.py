"""Preconditions of commands on a unit, its sheet, steps and lines.

Each raises Refusal where the precondition is not met. The checks of a step run in the order in
which a person needs to hear of them.
"""

from prep.record.procedure.document import MUST_FIND, Line, Procedure, Step
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit.sheet import FINISHED, Status, applies, open_boxes, statuses, waits_for
from prep.record.unit.state import BoxKey, Record


def not_finished(record: Record) -> None:
    """Refuse a unit that is not received yet, on hold, or handed over."""
    if record.received is None:
        raise Refusal("not-received", "This unit has not been received yet. Receive it first.")
    if record.handover:
        raise Refusal(
            "handed-over",
            "This unit has been handed over; its preparation record is closed.",
        )
    if record.held:
        raise Refusal(
            "on-hold",
            f"Work is on hold: {record.held[0]} A service manager can resume it.",
        )


def changeable(record: Record) -> None:
    """Refuse changes to the sheet of a unit that is released for its buyer."""
    not_finished(record)
    if record.release and record.release.event.ready_for == "buyer":
        raise Refusal(
            "released",
            "This unit is released. A service manager can re-open it with a reason.",
        )


def unreleased(record: Record) -> None:
    """Refuse a released unit: it has to be re-opened first."""
    not_finished(record)
    if record.release:
        raise Refusal(
            "released", "This unit is released. A service manager re-opens it with the reason."
        )


def sheet(record: Record) -> Procedure:
    """Procedure of the unit's sheet; Refusal where the sheet has not been started."""
    changeable(record)
    if record.procedure is None:
        raise Refusal("no-sheet", "The sheet has not been started. Start it first.")
    return record.procedure


def find_step(record: Record, code: str) -> Step:
    """Step of the sheet by its code; Refusal where there is none."""
    step = sheet(record).steps.get(code)
    if step is None:
        raise Refusal("no-such-step", f"The sheet has no step “{code}”.", field="step")
    return step


def find_line(step: Step, code: str, position: str) -> Line:
    """Line of a step by its code; Refusal where the line or the position does not exist."""
    line = step.by_line.get(code)
    if line is None:
        raise Refusal("no-such-line", f"{step.title} has no line “{code}”.", field="line")
    if position not in line.boxes:
        known = ", ".join(line.positions)
        raise Refusal(
            "no-such-position",
            f"Say where: one of {known}." if known else f"“{line.ask}” has no positions.",
            field="position",
        )
    return line


def open_for_work(record: Record, context: Context, step: Step, *, on_paper: bool = False) -> None:
    """Refuse unless the actor may make entries in a step now, or sign it.

    For entries copied from paper the earlier steps must be answered but may be signed later: the
    order in which the steps were done is not the order in which they are copied.
    """
    if not any(role.value in step.who for role in context.actor.roles):
        who = " or ".join(f"a {who}" for who in step.who)
        raise Refusal("not-allowed", f"{step.title} is for {who}.")
    _applicable(record, step)
    status_of = statuses(record)
    missing = waits_for(step, status_of)
    if on_paper:
        steps = sheet(record).steps
        missing = [code for code in missing if open_boxes(record, steps[code])]
    if missing:
        raise Refusal("too-early", _too_early(record, step, missing), waits_for=missing)
    if status_of[step.step] in {Status.DONE, Status.AWAITS_SECOND}:
        raise Refusal(
            "signed",
            f"{step.title} is signed. Re-open it with a reason before changing anything in it.",
        )
    if step.cautions and context.actor.id not in record.step_state(step.step).acknowledged:
        raise Refusal(
            "caution-first",
            f"Read and acknowledge the cautions of “{step.title}” before working on it.",
            cautions=list(step.cautions),
        )


def _applicable(record: Record, step: Step) -> None:
    if not applies(record, step):
        raise Refusal("does-not-apply", f"{step.title} does not apply to this unit.")
    if step.needs_tractor and record.tractor is None:
        raise Refusal(
            "needs-tractor",
            f"{step.title} depends on the buyer's tractor. Assign the buyer and tractor first.",
        )
    if record.step_state(step.step).skipped:
        raise Refusal(
            "marked-not-applicable",
            f"{step.title} was marked not applicable. Re-open it with a reason to work on it.",
        )


def _too_early(record: Record, step: Step, missing: list[str]) -> str:
    """Refusal text for a step before its turn; names the danger if a safe state is missing."""
    assert record.procedure is not None
    steps = record.procedure.steps
    titles = "; ".join(steps[code].title for code in missing)
    wanted = {hazard for task in step.work for hazard in MUST_FIND[task]}
    missed = sorted({h.value for code in missing for h in steps[code].makes if h in wanted})
    if missed:
        danger = ", ".join(task.value for task in step.work)
        return f"Not safe yet ({danger}): {' and '.join(missed)} comes first. Finish: {titles}."
    return f"{step.title} comes later. Finish first: {titles}."


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
