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
from prep.record.procedure.problems import Fault, Problem, fault
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.catalog.catalog import RULES, Rule
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import QUANTITIES


def check(procedure: Procedure, models: Mapping[str, ModelFacts]) -> list[Problem]:
    """Every problem; none where the procedure may come into force."""
    problems = list(_duplicates(procedure))
    if problems:
        return problems
    earlier: dict[str, Step] = {}
    for section in procedure.sections:
        for step in section.steps:
            path = f"{section.section}.{step.step}"
            problems += [Problem(path, *one) for one in _step(procedure, step, earlier)]
            for line in step.lines:
                at = f"{path}.{line.line}"
                faults = _line(procedure, step, line, earlier, models)
                problems += [Problem(at, *one) for one in faults]
            earlier[step.step] = step
    return problems


def _duplicates(procedure: Procedure) -> Iterator[Problem]:
    if not procedure.sections or not procedure.models:
        yield Problem("document", "document-empty", {})
    seen: set[str] = set()
    for section in procedure.sections:
        for step in section.steps:
            path = f"{section.section}.{step.step}"
            if step.step in seen:
                yield Problem(path, "step-twice", {})
            seen.add(step.step)
            if len(step.by_line) != len(step.lines):
                yield Problem(path, "line-twice", {})
            if not step.lines:
                yield Problem(path, "step-without-lines", {})


def _step(procedure: Procedure, step: Step, earlier: Mapping[str, Step]) -> Iterator[Fault]:
    for code in step.after:
        if code not in earlier:
            yield fault("step-after-later", step=code)
        elif earlier[code].needs_tractor and not step.needs_tractor:
            yield fault("step-after-tractor", step=code)
    for code in step.cautions:
        if code not in procedure.cautions:
            yield fault("caution-unknown", caution=code)
    yield from _danger(step, earlier)


def _danger(step: Step, earlier: Mapping[str, Step]) -> Iterator[Fault]:
    made = _made_before(step, earlier)
    for task in step.work:
        missing = sorted(hazard.value for hazard in MUST_FIND[task] - made)
        if missing:
            yield fault("work-not-safe", work=task.value, states=", ".join(missing))
        if not step.cautions:
            yield fault("work-without-caution", work=task.value)
    if step.makes and step.skip != "never":
        yield fault("safety-skippable")
    if step.makes and step.when != When():
        yield fault("safety-conditional")


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
) -> Iterator[Fault]:
    if line.quantity and line.choices:
        yield fault("quantity-and-choices")
    if line.quantity and line.quantity not in QUANTITIES:
        known = ", ".join(QUANTITIES)
        yield fault("quantity-unknown", quantity=line.quantity, known=known)
        return
    before = {other.line for other in step.lines[: step.lines.index(line)]}
    for code in line.after:
        if code not in before:
            yield fault("line-after-later", line=code)
    if line.limit:
        yield from _limit(line, line.limit)
    for path in paths(line):
        yield from _path(procedure, step, line, path, earlier, models)
    for call in rule_calls(line):
        yield from _rule(call)


def _limit(line: Line, limit: Limit) -> Iterator[Fault]:
    forms = [limit.nominal is not None, bool(limit.one_of)]
    forms.append(limit.at_least is not None or limit.at_most is not None)
    if sum(forms) != 1:
        yield fault("limit-form")
    if bool(limit.one_of) != bool(line.choices):
        yield fault("limit-not-of-line")
    elif limit.one_of and not set(limit.one_of) <= set(line.choices):
        yield fault("limit-not-a-choice")
    if not limit.source.strip():
        yield fault("limit-without-source")
    if limit.tolerance and (limit.plus or limit.minus):
        yield fault("limit-tolerance")
    yield from _limit_values(line, limit)
    yield from _decision(line, limit)
    yield from _basis(limit)


def _limit_values(line: Line, limit: Limit) -> Iterator[Fault]:
    texts = [bound for bound in bounds(limit) if isinstance(bound, str)]
    texts += [
        text for text in (limit.tolerance, limit.plus, limit.minus) if text and text[-1] != "%"
    ]
    for text in texts:
        if line.quantity and not isinstance(read(text, line.quantity), Typed):
            yield fault("limit-value", text=text, quantity=line.quantity)


def _decision(line: Line, limit: Limit) -> Iterator[Fault]:
    try:
        if not 0 <= Fraction(limit.guard) <= 3:
            yield fault("guard-range")
    except ValueError:
        yield fault("guard-not-a-number", guard=limit.guard)
    if limit.decision == "guarded" and line.instrument is None:
        yield fault("guarded-without-instrument")


def _basis(limit: Limit) -> Iterator[Fault]:
    """What a rule computes is not the manufacturer's own figure, unless the rule says it is."""
    if limit.basis != "manufacturer":
        return
    for bound in bounds(limit):
        rule = RULES.get(bound.rule) if isinstance(bound, Computed) else None
        if rule and not _says_who_decided(rule):
            yield fault("limit-not-the-manufacturers", rule=rule.name)


def _says_who_decided(rule: Rule) -> bool:
    return is_dataclass(rule.result) and "decided_by" in {one.name for one in fields(rule.result)}


def _path(
    procedure: Procedure,
    step: Step,
    line: Line,
    path: str,
    earlier: Mapping[str, Step],
    models: Mapping[str, ModelFacts],
) -> Iterator[Fault]:
    where, _, rest = path.partition(".")
    if where == "model":
        for code in procedure.models:
            if code in models and rest not in models[code].data:
                yield fault("model-data-missing", model=code, name=rest)
    elif where == "reading":
        code, _, box = rest.partition(".")
        name, _, position = box.partition(".")
        source = step if code == step.step else earlier.get(code)
        target = source.by_line.get(name) if source else None
        if source is step and target and step.lines.index(target) > step.lines.index(line):
            target = None
        if target is None or not target.quantity or (position and position not in target.positions):
            yield fault("reading-not-earlier", path=path)
    elif where == "limit" and rest not in LIMIT_PARTS:
        yield fault("limit-part-unknown", path=path)


def _rule(call: Computed) -> Iterator[Fault]:
    rule = RULES.get(call.rule)
    if rule is None:
        yield fault("rule-unknown", rule=call.rule)
        return
    known = {parameter.name: parameter for parameter in rule.parameters}
    for name in sorted(set(call.inputs) - set(known)):
        yield fault("rule-input-unknown", rule=call.rule, name=name)
    for name, parameter in known.items():
        if parameter.required and name not in call.inputs:
            yield fault("rule-input-missing", rule=call.rule, name=name)
    several = {one.name for one in fields(rule.result)} if is_dataclass(rule.result) else set()
    if call.field and call.field not in several:
        yield _no_such_field(call, several)


def _no_such_field(call: Computed, several: set[str]) -> Fault:
    if not several:
        return fault("rule-field-unwanted", rule=call.rule)
    known = ", ".join(sorted(several))
    return fault("rule-field-unknown", rule=call.rule, name=call.field, known=known)
