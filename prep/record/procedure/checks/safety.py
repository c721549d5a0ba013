"""Dangerous work comes after what makes it safe, whatever is skipped and whatever applies."""

from collections.abc import Iterator, Mapping, Set

from prep.record.documents.problems import Problem
from prep.record.procedure.checks.places import StepAt
from prep.record.procedure.document import MUST_FIND, Hazard, Step, When


def danger(at: StepAt, unsure: Set[str]) -> Iterator[Problem]:
    """What a step's work lacks, and what the safe state it makes could be lost by.

    `unsure` are the steps of which a part that counts here could not be read.
    """
    step = at.step
    made, through = _made_before(step, at.earlier)
    for place, task in enumerate(step.work):
        path = at.at("work", place)
        missing = sorted(hazard.value for hazard in MUST_FIND[task] - made)
        if missing and not (through | {step.step}) & unsure:
            makers = tuple(
                code for code, one in at.earlier.items() if set(one.makes) & set(MUST_FIND[task])
            )
            values = {"work": task.value, "states": tuple(missing)}
            yield Problem("work-not-safe", path, values, makers)
        if not step.cautions:
            yield Problem("work-without-caution", path, {"work": task.value})
    if step.makes and step.skip != "never":
        yield Problem("safety-skippable", at.at("skip"), {}, ("never",), step.skip)
    if step.makes and step.when != When():
        yield Problem("safety-conditional", at.at("when"))


def _made_before(step: Step, earlier: Mapping[str, Step]) -> tuple[set[Hazard], set[str]]:
    """Safe states made by the steps this one comes after, directly or through other steps.

    A step in between passes on the states before it only if it is always done: one that may be
    skipped or may not apply does not guarantee them. Also the steps that were looked at.
    """
    made: set[Hazard] = set()
    pending, seen = list(step.after), set()
    while pending:
        code = pending.pop()
        if code in earlier and code not in seen:
            seen.add(code)
            made |= set(earlier[code].makes)
            if earlier[code].skip == "never" and earlier[code].when == When():
                pending += earlier[code].after
    return made, seen
