"""Checks of a procedure before it is published.

They refuse what the schema cannot see and what would fail in the yard: a step that can never be
reached, a limit that cannot be computed, dangerous work before its safe state is made.
"""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from fractions import Fraction

from prep.record.facts import ModelFacts
from prep.record.procedure.document import (
    LIMIT_PARTS,
    MUST_FIND,
    Computed,
    Hazard,
    Limit,
    Line,
    Procedure,
    Step,
    When,
    bounds,
    paths,
    rule_calls,
)
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.catalog.catalog import RULES
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import QUANTITIES

Problem = tuple[str, str]


def check(procedure: Procedure, models: Mapping[str, ModelFacts]) -> list[Problem]:
    """Every problem as (path, what is wrong); empty when the procedure may come into force."""
    problems = list(_duplicates(procedure))
    if problems:
        return problems
    earlier: dict[str, Step] = {}
    for section in procedure.sections:
        for step in section.steps:
            path = f"{section.section}.{step.step}"
            problems += [(path, text) for text in _step(procedure, step, earlier)]
            for line in step.lines:
                at = f"{path}.{line.line}"
                problems += [(at, text) for text in _line(procedure, step, line, earlier, models)]
            earlier[step.step] = step
    return problems


def _duplicates(procedure: Procedure) -> Iterator[Problem]:
    if not procedure.sections or not procedure.models:
        yield "document", "needs at least one section and one model"
    seen: set[str] = set()
    for section in procedure.sections:
        for step in section.steps:
            path = f"{section.section}.{step.step}"
            if step.step in seen:
                yield path, "two steps have this code"
            seen.add(step.step)
            if len(step.by_line) != len(step.lines):
                yield path, "two lines of the step have one code"
            if not step.lines:
                yield path, "has no line to answer"


def _step(procedure: Procedure, step: Step, earlier: Mapping[str, Step]) -> Iterator[str]:
    for code in step.after:
        if code not in earlier:
            yield f"comes after “{code}”, which is not an earlier step"
        elif earlier[code].needs_tractor and not step.needs_tractor:
            yield f"comes after “{code}”, which needs the buyer's tractor; no stock would be ready"
    for code in step.cautions:
        if code not in procedure.cautions:
            yield f"shows caution “{code}”, which is not among the cautions"
    yield from _danger(step, earlier)


def _danger(step: Step, earlier: Mapping[str, Step]) -> Iterator[str]:
    made = _made_before(step, earlier)
    for task in step.work:
        missing = sorted(hazard.value for hazard in MUST_FIND[task] - made)
        if missing:
            yield f"is work {task.value}: a step that makes “{', '.join(missing)}” must come before"
        if not step.cautions:
            yield f"is work {task.value} and shows no caution"
    if step.makes and step.skip != "never":
        yield "makes the machine safe for later work, so it needs `skip: never`"
    if step.makes and step.when != When():
        yield "makes the machine safe for later work, so it applies always: no `when`"


def _made_before(step: Step, earlier: Mapping[str, Step]) -> set[Hazard]:
    """Safe states made by the steps this one comes after, directly or through other steps.

    A step in between passes on the states before it only if it is always done: one that may be
    skipped or may not apply does not guarantee them.
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
    return made


def _line(
    procedure: Procedure,
    step: Step,
    line: Line,
    earlier: Mapping[str, Step],
    models: Mapping[str, ModelFacts],
) -> Iterator[str]:
    if line.quantity and line.choices:
        yield "takes a quantity or a choice, not both"
    if line.quantity and line.quantity not in QUANTITIES:
        yield f"quantity “{line.quantity}” is not known; it is one of {', '.join(QUANTITIES)}"
        return
    before = {other.line for other in step.lines[: step.lines.index(line)]}
    for code in line.after:
        if code not in before:
            yield f"comes after line “{code}”, which is not an earlier line of the step"
    if line.limit:
        yield from _limit(line, line.limit)
    for path in paths(line):
        yield from _path(procedure, step, line, path, earlier, models)
    for call in rule_calls(line):
        yield from _rule(call)


def _limit(line: Line, limit: Limit) -> Iterator[str]:
    forms = [limit.nominal is not None, bool(limit.one_of)]
    forms.append(limit.at_least is not None or limit.at_most is not None)
    if sum(forms) != 1:
        yield "the limit needs exactly one form: nominal, at_least/at_most, or one_of"
    if bool(limit.one_of) != bool(line.choices):
        yield "one_of goes with choices, and a quantity with the other forms"
    elif limit.one_of and not set(limit.one_of) <= set(line.choices):
        yield "one_of accepts a word that is not among the choices"
    if not limit.source.strip():
        yield "the limit names no source"
    if limit.tolerance and (limit.plus or limit.minus):
        yield "give tolerance, or plus and minus, not both"
    yield from _limit_values(line, limit)
    yield from _decision(line, limit)


def _limit_values(line: Line, limit: Limit) -> Iterator[str]:
    texts = [bound for bound in bounds(limit) if isinstance(bound, str)]
    texts += [
        text for text in (limit.tolerance, limit.plus, limit.minus) if text and text[-1] != "%"
    ]
    for text in texts:
        if line.quantity and not isinstance(read(text, line.quantity), Typed):
            yield f"“{text}” is not one {line.quantity} with its unit"


def _decision(line: Line, limit: Limit) -> Iterator[str]:
    try:
        if not 0 <= Fraction(limit.guard) <= 3:
            yield "guard is from 0 to 3 times the expanded uncertainty"
    except ValueError:
        yield f"guard “{limit.guard}” is not a number"
    if limit.decision == "guarded" and line.instrument is None:
        yield "a guarded limit needs an instrument, or there is no uncertainty to guard against"


def _path(
    procedure: Procedure,
    step: Step,
    line: Line,
    path: str,
    earlier: Mapping[str, Step],
    models: Mapping[str, ModelFacts],
) -> Iterator[str]:
    where, _, rest = path.partition(".")
    if where == "model":
        for code in procedure.models:
            if code in models and rest not in models[code].data:
                yield f"model {code} has no “{rest}” in its data"
    elif where == "reading":
        code, _, box = rest.partition(".")
        name, _, position = box.partition(".")
        source = step if code == step.step else earlier.get(code)
        target = source.by_line.get(name) if source else None
        if source is step and target and step.lines.index(target) > step.lines.index(line):
            target = None
        if target is None or not target.quantity or (position and position not in target.positions):
            yield f"“{path}” is not an earlier reading"
    elif where == "limit" and rest not in LIMIT_PARTS:
        yield f"“{path}” is not one of limit.low, limit.high, limit.middle"


def _rule(call: Computed) -> Iterator[str]:
    rule = RULES.get(call.rule)
    if rule is None:
        yield f"there is no rule “{call.rule}”"
        return
    known = {parameter.name: parameter for parameter in rule.parameters}
    for name in sorted(set(call.inputs) - set(known)):
        yield f"rule {call.rule} has no input “{name}”"
    for name, parameter in known.items():
        if parameter.required and name not in call.inputs:
            yield f"rule {call.rule} needs “{name}”"
    several = {one.name for one in fields(rule.result)} if is_dataclass(rule.result) else set()
    if call.field and call.field not in several:
        listed = ", ".join(sorted(several)) or "one value only"
        yield f"rule {call.rule} has no field “{call.field}”; it gives {listed}"
