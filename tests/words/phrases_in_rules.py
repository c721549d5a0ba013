"""The phrases that rules make, read off their sources."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import prep.rules

SOURCES: Final = sorted(Path(prep.rules.__file__).parent.rglob("*.py"))
NOT_VALUES: Final = frozenset({"span"})  # says how an amount is shown


@dataclass(frozen=True)
class Made:
    """A code as it stands in a call, with the names of its values."""

    code: str
    values: frozenset[str]
    where: str


def calls(*callables: str, at: int = 0) -> list[Made]:
    """Calls of a function or class by name, whose argument number `at` is the code."""
    return [
        made for path in SOURCES for made in calls_in(path.read_text(), path.name, callables, at)
    ]


def calls_in(source: str, name: str, callables: tuple[str, ...], at: int) -> Iterator[Made]:
    """Calls in one source; a code that is no literal is shown as it is written."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call) or _name(node.func) not in callables:
            continue
        if len(node.args) <= at:
            continue
        values = frozenset(each.arg or "**" for each in node.keywords) - NOT_VALUES
        for code in _codes(node.args[at]):
            yield Made(code, values, f"{name}:{node.lineno}")


def _name(callee: ast.expr) -> str:
    return callee.attr if isinstance(callee, ast.Attribute) else getattr(callee, "id", "")


def _codes(code: ast.expr) -> Iterator[str]:
    """The codes a literal, or a choice of literals, stands for."""
    if isinstance(code, ast.IfExp):
        yield from _codes(code.body)
        yield from _codes(code.orelse)
    else:
        yield str(code.value) if isinstance(code, ast.Constant) else ast.unparse(code)
