"""Calculators: a rule's answer with its inputs, formula, source and drawing."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from prep.pages.forms import person, signed_in
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.answer import Calculation, calculate, in_words
from prep.rules.catalog.catalog import RULES, In, OneOf, RuleRefusal, YesNo
from prep.rules.drawings.shapes import to_svg
from prep.rules.quantities.quantity import unit as unit_called


@signed_in
def rules(request: HttpRequest) -> HttpResponse:
    """List all rules, by topic."""
    topics: dict[str, list[Any]] = {}
    for rule in sorted(RULES.values(), key=lambda rule: rule.name):
        topic = rule.name.partition(".")[0].replace("_", " ")
        topics.setdefault(topic, []).append((rule.name, rule.title))
    return render(request, "rules.html", {"topics": topics})


@signed_in
def rule(request: HttpRequest, name: str) -> HttpResponse:
    """Show one rule with its form, and its answer once inputs are given."""
    chosen = RULES.get(name)
    if chosen is None:
        raise Http404
    typed = {
        p.name: request.GET[p.name].strip()
        for p in chosen.parameters
        if request.GET.get(p.name, "").strip()
    }
    # The fields of the rule, not the rule: a template would call it.
    page: dict[str, Any] = {
        "title": chosen.title,
        "sections": chosen.sections,
        "inputs": [_input(p, typed) for p in chosen.parameters],
    }
    status = 200
    if typed:
        inputs: dict[str, Any] = {
            p.name: _input_value(p, typed[p.name]) for p in chosen.parameters if p.name in typed
        }
        try:
            answer = calculate(name, inputs, decimal_comma=person(request).decimal_comma)
        except RuleRefusal as no:
            page |= {"refusal": no, "choices": getattr(no, "choices", [])}
            status = 409
        else:
            page |= {"worked": _answer(answer), "drawings": [to_svg(d) for d in answer.drawings]}
    return render(request, "rule.html", page, status=status)


def _answer(answer: Calculation) -> dict[str, Any]:
    """Template context of an answer, with its values in words."""
    return {
        "results": [(one.name, one.shown or (in_words(one.value),)) for one in answer.results],
        "advice": answer.advice,
        "inputs": [
            (one.name, one.written, f"{in_words(one.value)} {one.unit}".removesuffix(" 1"))
            for one in answer.inputs
        ],
    }


def _input_value(parameter: Any, text: str) -> Any:
    """The value of an input; a list is typed with semicolons between its values."""
    if parameter.several:
        return [part.strip() for part in text.split(";") if part.strip()]
    return text


def _meaning(parameter: Any) -> str:
    """The description of an input with its range, which the docstring of the rule puts first."""
    spec, meaning = parameter.spec, str(parameter.meaning)
    if not isinstance(spec, In | OneOf):
        return meaning
    words = meaning.partition(". ")[2] or meaning
    if isinstance(spec, OneOf):
        return words
    if spec.unit == "1":
        return f"{words} From {spec.least:g} to {spec.most:g}."
    quantity = unit_called(spec.unit).quantity
    return (
        f"{words} From {spec.least:g} to {spec.most:g} {spec.unit}; any unit of {quantity} will do."
    )


def _input(parameter: Any, typed: dict[str, str]) -> dict[str, Any]:
    """Template context of an input field."""
    spec = parameter.spec
    choices: tuple[Any, ...] = ()
    if isinstance(spec, OneOf):
        choices = spec.choices
    elif isinstance(spec, YesNo):
        choices = ("yes", "no")
    return {
        "name": parameter.name,
        "label": parameter.name.replace("_", " ").capitalize(),
        "meaning": _meaning(parameter),
        "several": parameter.several,
        "required": parameter.required,
        "choices": choices,
        "value": typed.get(parameter.name, ""),
    }
