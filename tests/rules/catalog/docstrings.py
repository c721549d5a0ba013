"""Check of a rule's docstring against its signature, and of its example against the function."""

import dataclasses
import doctest
import inspect
import math
import re
import sys
from collections.abc import Iterator
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from prep.rules.catalog.catalog import SECTIONS, In, Parameter, Rule, Text, Unit, YesNo

LISTED_CHOICES = 12  # a longer list is described instead: "one of the designations in the table"
RANGE = re.compile(r"(?P<unit>[^,]+), (?P<least>\S+) to (?P<most>\S+?)\. (?P<meaning>\S.*)")


def faults(rule: Rule) -> list[str]:
    """Everything in which a rule's docstring is incomplete, wrong or untrue; empty when good."""
    return [
        *_name_faults(rule),
        *_section_faults(rule),
        *_input_faults(rule),
        *_result_faults(rule),
        *_example_faults(rule),
    ]


def _name_faults(rule: Rule) -> Iterator[str]:
    if not re.fullmatch(r"[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*", rule.name):
        yield f"the name {rule.name!r} is not topic.noun"
    if not rule.title:
        yield "the docstring has no title"


def _section_faults(rule: Rule) -> Iterator[str]:
    for heading in SECTIONS:
        if not rule.sections.get(heading):
            yield f"the section {heading} is missing or empty"
    present = [heading for heading in rule.sections if heading in SECTIONS]
    if present != [heading for heading in SECTIONS if heading in present]:
        yield f"the sections stand in the order {', '.join(present)}"


def _input_faults(rule: Rule) -> Iterator[str]:
    described = re.findall(r"^(\w+): ", rule.sections.get("Inputs", ""), flags=re.MULTILINE)
    declared = [parameter.name for parameter in rule.parameters]
    if described != declared:
        yield f"Inputs explains {described}, the signature has {declared}"
    for parameter in rule.parameters:
        for fault in _parameter_faults(parameter):
            yield f"{parameter.name}: {fault}"


def _parameter_faults(parameter: Parameter) -> Iterator[str]:
    spec = parameter.spec
    if isinstance(spec, In):
        yield from _range_faults(spec, parameter.meaning)
        return
    if isinstance(spec, YesNo):
        start = "yes or no. "
    elif isinstance(spec, Text):
        start = "text. "
    elif len(spec.choices) <= LISTED_CHOICES:
        start = "one of " + ", ".join(str(choice) for choice in spec.choices) + ". "
    else:
        start = "one of "
    if not parameter.meaning.startswith(start) or len(parameter.meaning) == len(start):
        yield f"line must start “{start}”, it is “{parameter.meaning}”"


def _range_faults(spec: In, meaning: str) -> Iterator[str]:
    line = RANGE.fullmatch(meaning)
    if line is None:
        yield f"line must read “{spec.unit}, least to most. Meaning”, it is “{meaning}”"
        return
    if line["unit"] != spec.unit:
        yield f"unit is {spec.unit}, the docstring says {line['unit']}"
    for end, declared in (("least", spec.least), ("most", spec.most)):
        if not _same(line[end], declared):
            yield f"{end} is {declared:g}, the docstring says {line[end]}"


def _same(text: str, declared: float) -> bool:
    """Whether a printed number is the declared one, to the six digits a docstring has room for."""
    try:
        printed = float(text.replace("−", "-"))
    except ValueError:
        return False
    return math.isclose(printed, declared, rel_tol=5e-6)


def _result_faults(rule: Rule) -> Iterator[str]:
    text = rule.sections.get("Result", "")
    origin_is_annotated = get_origin(rule.result) is Annotated
    units = list(_units(rule.result))
    if origin_is_annotated and len(units) == 1:
        if not re.match(re.escape(units[0] or "?") + r"(?:[.;, ]|$)", text):
            yield f"Result must start “{units[0]}.”, it is “{text}”"
        return
    for unit in dict.fromkeys(units):
        if unit is None:
            yield "a number in the result has no unit"
        elif unit != "1" and not re.search(rf"(?<![\w/^·]){re.escape(unit)}(?![\w/^·])", text):
            yield f"Result does not name the unit {unit}"


def _units(hint: Any) -> Iterator[str | None]:
    """Unit of each number in a result, None for a number without one."""
    if get_origin(hint) is Annotated:
        inner, *extras = get_args(hint)
        stated = [extra.unit for extra in extras if isinstance(extra, Unit)]
        yield from stated or _units(inner)
    elif hint is float:
        yield None
    elif dataclasses.is_dataclass(hint) and isinstance(hint, type):
        if hint.__name__ not in {"Advice", "Phrase"}:  # their amounts carry their units with them
            for field in get_type_hints(hint, include_extras=True).values():
                yield from _units(field)
    else:
        for inner in get_args(hint):
            yield from _units(inner)


def _example_faults(rule: Rule) -> Iterator[str]:
    module = sys.modules[rule.function.__module__]
    report: list[str] = []
    runner = doctest.DocTestRunner(optionflags=doctest.REPORT_ONLY_FIRST_FAILURE)
    examples = doctest.DocTestParser().get_examples(inspect.getdoc(rule.function) or "")
    if not examples:
        yield "the Example has no doctest"
        return
    test = doctest.DocTest(
        examples, dict(vars(module)), rule.name, module.__file__, None, rule.function.__doc__
    )
    runner.run(test, out=report.append)
    if report:
        yield "the Example fails: " + " ".join("".join(report).split())
