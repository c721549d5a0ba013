"""“Work it out”: a rule's answer with its inputs, formula, source and drawing."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from prep.pages.forms import person, signed_in
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalogue
from prep.rules.answers.answer import Calculation, calculate, in_words
from prep.rules.catalog.catalog import RULES, In, OneOf, RuleRefusal, YesNo
from prep.rules.drawings.shapes import to_svg
from prep.rules.quantities.quantity import unit as unit_called


@signed_in
def rules(request: HttpRequest) -> HttpResponse:
    """Every rule, by topic."""
    topics: dict[str, list[Any]] = {}
    for rule in sorted(RULES.values(), key=lambda rule: rule.name):
        topic = rule.name.partition(".")[0].replace("_", " ")
        topics.setdefault(topic, []).append((rule.name, rule.title))
    return render(request, "rules.html", {"topics": topics})


@signed_in
def rule(request: HttpRequest, name: str) -> HttpResponse:
    """One rule: its form, and its answer once the inputs are given."""
    found = RULES.get(name)
    if found is None:
        raise Http404
    given = {
        p.name: request.GET[p.name].strip()
        for p in found.parameters
        if request.GET.get(p.name, "").strip()
    }
    # A template would call a rule; it gets what it shows instead.
    page: dict[str, Any] = {
        "title": found.title,
        "sections": found.sections,
        "inputs": [_input(p, given) for p in found.parameters],
    }
    status = 200
    if given:
        written: dict[str, Any] = {
            p.name: _written(p, given[p.name]) for p in found.parameters if p.name in given
        }
        try:
            worked = calculate(name, written, decimal_comma=person(request).decimal_comma)
        except RuleRefusal as no:
            page |= {"refusal": no, "choices": getattr(no, "choices", [])}
            status = 409
        else:
            page |= {"worked": _shown(worked), "drawings": [to_svg(d) for d in worked.drawings]}
    return render(request, "rule.html", page, status=status)


def _shown(worked: Calculation) -> dict[str, Any]:
    """An answer with every value in words."""
    return {
        "results": [(one.name, one.shown or (in_words(one.value),)) for one in worked.results],
        "advice": worked.advice,
        "inputs": [
            (one.name, one.written, f"{in_words(one.value)} {one.unit}".removesuffix(" 1"))
            for one in worked.inputs
        ],
    }


def _written(parameter: Any, text: str) -> Any:
    """A list of values is written with semicolons between them."""
    if parameter.several:
        return [part.strip() for part in text.split(";") if part.strip()]
    return text


def _meaning(parameter: Any) -> str:
    """What an input is, and between which values; the docstring states unit and range first."""
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


def _input(parameter: Any, given: dict[str, str]) -> dict[str, Any]:
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
        "value": given.get(parameter.name, ""),
    }
