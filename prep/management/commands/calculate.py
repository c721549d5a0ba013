"""`manage.py calculate`: the answer of a rule for inputs as people write them."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.rules.answers.answer import Calculation, Value, calculate, find_rule
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.drawings.shapes import to_svg
from prep.words.reader import ENGLISH
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import results
from prep.words.rules.drawings import DrawingWords


class Command(BaseCommand):
    """Answer a rule: `calculate blades.tip_speed tip_circle="19 in" speed="4000 rpm"`."""

    help = "Calculate a rule's answer, list the rules, or list the inputs of a rule."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The rule, its inputs, and a file for the drawing."""
        parser.add_argument("rule", nargs="?", help="name of a rule; without one, all are listed")
        parser.add_argument(
            "inputs", nargs="*", help='input="value as written"; without any, they are listed'
        )
        parser.add_argument("--svg", type=Path, help="file to write the answer's picture to")

    def handle(self, *args: Any, **options: Any) -> None:
        """List the rules, explain one, or answer it."""
        try:
            if not options["rule"]:
                self._list()
            elif not options["inputs"]:
                self._explain(options["rule"])
            else:
                self._answer(options["rule"], options["inputs"], options["svg"])
        except RuleRefusal as no:
            choices = [f"  {no.field}={choice['entry']!r}" for choice in getattr(no, "choices", ())]
            raise CommandError("\n".join([rule_refusals.text(no, ENGLISH), *choices])) from no

    def _list(self) -> None:
        for name, rule in sorted(RULES.items()):
            self.stdout.write(f"{name}: {rule.title}")

    def _explain(self, name: str) -> None:
        rule = find_rule(name)
        self.stdout.write(f"{rule.title}\n")
        for parameter in rule.parameters:
            optional = "" if parameter.required else " (may be left out)"
            self.stdout.write(f"  {parameter.name}: {parameter.meaning}{optional}")
        for heading in ("Result", "Formula", "Source"):
            self.stdout.write(f"{heading}: {rule.sections[heading]}")

    def _answer(self, name: str, pairs: list[str], svg: Path | None) -> None:
        answer = calculate(name, dict(_pair(text) for text in pairs), DrawingWords(ENGLISH))
        for line in _lines(answer):
            self.stdout.write(line)
        if svg is None:
            return
        if not answer.drawings:
            raise CommandError(f"{answer.title} has no picture.")
        for number, drawing in enumerate(answer.drawings, 1):
            path = svg if number == 1 else svg.with_stem(f"{svg.stem}-{number}")
            path.write_text(to_svg(drawing), encoding="utf-8")
            self.stdout.write(f"Picture: {path}")


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        raise CommandError(f'Write “{text}” as input="value".')
    return name.strip(), value


def _lines(answer: Calculation) -> list[str]:
    lines = [answer.title]
    lines += [
        f"  {i.name}: {i.written} = {results.input_in_words(i, ENGLISH)}" for i in answer.inputs
    ]
    lines += [_result(value) for value in answer.results]
    lines += [f"Do: {sentence}" for sentence in results.advice_of(answer, ENGLISH)]
    return [*lines, f"Formula: {answer.formula}", f"Source: {answer.source}"]


def _result(value: Value) -> str:
    name = f"{value.name}: " if value.name else ""
    usual_units = ", ".join(value.shown)
    if value.unit in {"1", "%"}:
        return f"= {name}{usual_units}"
    result = f"= {name}{results.in_words(value.value, ENGLISH)} {value.unit}".rstrip()
    return f"{result} ({usual_units})" if usual_units else result
