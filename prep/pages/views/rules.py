"""Calculators: a rule's answer with its inputs, formula, source and drawing."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from prep.pages.forms import person, signed_in
from prep.queries.readers import reader_of
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.answer import Calculation, calculate
from prep.rules.catalog.catalog import RULES, In, OneOf, RuleRefusal, YesNo
from prep.rules.drawings.shapes import to_svg
from prep.words.reader import Reader
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import results
from prep.words.rules.choices import choice, range_text
from prep.words.rules.drawings import DrawingWords
from prep.words.rules.titles import title
from prep.words.rules.topics import topic_title
from prep.words.rules.value_names import value_name


@signed_in
def rules(request: HttpRequest) -> HttpResponse:
    """List all rules, by topic."""
    reader = reader_of(person(request))
    topics: dict[str, list[Any]] = {}
    for rule in sorted(RULES.values(), key=lambda rule: rule.name):
        topic = topic_title(rule.name, reader)
        topics.setdefault(topic, []).append((rule.name, title(rule.name, reader)))
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
    reader = reader_of(person(request))
    # The fields of the rule, not the rule: a template would call it.
    page: dict[str, Any] = {
        "title": title(name, reader),
        "sections": chosen.sections,
        "inputs": [_input(p, typed, reader) for p in chosen.parameters],
    }
    status = 200
    if typed:
        inputs: dict[str, Any] = {
            p.name: _input_value(p, typed[p.name]) for p in chosen.parameters if p.name in typed
        }
        try:
            answer = calculate(
                name,
                inputs,
                DrawingWords(reader),
                decimal_comma=person(request).decimal_comma,
            )
        except RuleRefusal as no:
            refusal = rule_refusals.text(no, reader)
            page |= {"refusal": refusal, "choices": getattr(no, "choices", [])}
            status = 409
        else:
            drawn = [to_svg(drawing) for drawing in answer.drawings]
            page |= {"worked": _answer(answer, reader), "drawings": drawn}
    return render(request, "rule.html", page, status=status)


def _answer(answer: Calculation, reader: Reader) -> dict[str, Any]:
    """Template context of an answer, with its values in words."""
    return {
        "results": [
            (_result_name(one.name, reader), results.shown(one, reader)) for one in answer.results
        ],
        "advice": results.advice_of(answer, reader),
        "inputs": [
            (value_name(one.name, reader), one.written, results.input_in_words(one, reader))
            for one in answer.inputs
        ],
    }


def _result_name(name: str, reader: Reader) -> str:
    """A result by its plain names, from the whole to the part; a number counts its place."""
    parts = [part if part.isdigit() else value_name(part, reader) for part in name.split(".")]
    return ", ".join(parts) if name else ""


def _input_value(parameter: Any, text: str) -> Any:
    """The value of an input; a list is typed with semicolons between its values."""
    if parameter.several:
        return [part.strip() for part in text.split(";") if part.strip()]
    return text


def _meaning(parameter: Any) -> str:
    """The description of an input, without its range, which the docstring of the rule puts first.

    It is in the language of the sources, as formula and source are: it belongs to the rule.
    """
    meaning = str(parameter.meaning)
    if not isinstance(parameter.spec, In | OneOf):
        return meaning
    return meaning.partition(". ")[2] or meaning


def _input(parameter: Any, typed: dict[str, str], reader: Reader) -> dict[str, Any]:
    """Template context of an input field."""
    spec = parameter.spec
    choices: tuple[str, ...] = ()
    if isinstance(spec, OneOf):
        choices = tuple(map(str, spec.choices))
    elif isinstance(spec, YesNo):
        choices = ("yes", "no")
    return {
        "name": parameter.name,
        "label": value_name(parameter.name, reader),
        "meaning": _meaning(parameter),
        "range": range_text(spec, reader) if isinstance(spec, In) else "",
        "several": parameter.several,
        "required": parameter.required,
        "choices": [(token, choice(token, reader)) for token in choices],
        "value": typed.get(parameter.name, ""),
    }
