"""`manage.py workout`: a rule's answer for inputs as people write them."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.rules.answers.answer import Calculation, Value, calculate, find_rule, in_words
from prep.rules.catalog.catalog import RULES, RuleRefusal
from prep.rules.drawings.shapes import to_svg


class Command(BaseCommand):
    """Work a rule out: `workout blades.tip_speed tip_circle="19 in" speed="4000 rpm"`."""

    help = "Work a rule out, or list the rules, or say what a rule takes."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("rule", nargs="?", help="name of a rule; without one, all are listed")
        parser.add_argument(
            "inputs", nargs="*", help='input="value as written"; without any, they are listed'
        )
        parser.add_argument("--svg", type=Path, help="file to write the answer's picture to")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if not options["rule"]:
                self._list()
            elif not options["inputs"]:
                self._explain(options["rule"])
            else:
                self._answer(options["rule"], options["inputs"], options["svg"])
        except RuleRefusal as no:
            meant = [f"  {no.field}={choice['entry']!r}" for choice in getattr(no, "choices", ())]
            raise CommandError("\n".join([no.message, *meant])) from no

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
        worked = calculate(name, dict(_pair(text) for text in pairs))
        for line in _lines(worked):
            self.stdout.write(line)
        if svg is None:
            return
        if not worked.drawings:
            raise CommandError(f"{worked.title} has no picture.")
        for number, drawing in enumerate(worked.drawings, 1):
            path = svg if number == 1 else svg.with_stem(f"{svg.stem}-{number}")
            path.write_text(to_svg(drawing), encoding="utf-8")
            self.stdout.write(f"Picture: {path}")


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        raise CommandError(f'Write “{text}” as input="value".')
    return name.strip(), value


def _lines(worked: Calculation) -> list[str]:
    lines = [worked.title]
    lines += [
        f"  {i.name}: {i.written} = {in_words(i.value)} {i.unit}".removesuffix(" 1").rstrip()
        for i in worked.inputs
    ]
    lines += [_result(value) for value in worked.results]
    lines += [f"Do: {sentence}" for sentence in worked.advice]
    return [*lines, f"Formula: {worked.formula}", f"Source: {worked.source}"]


def _result(value: Value) -> str:
    name = f"{value.name}: " if value.name else ""
    if value.unit in {"1", "%"}:
        return f"= {name}{', '.join(value.shown)}"
    shown = f" ({', '.join(value.shown)})" if value.shown else ""
    return f"= {name}{in_words(value.value)} {value.unit}".rstrip() + shown
