"""Each refusal is declared once, with its class and details; none is declared for nothing."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.errors import STATUS
from prep.record.refusal import Refusal, UndeclaredRefusalError
from prep.record.refusal_codes import CODES, RefusalClass

ROOT = Path(__file__).parents[2]

# Codes put together from a noun where they are raised: `no-such-model`, `needs-tractor`.
COMPOSED = {
    "prep/queries/models.py": {"no-such-model", "no-such-tractor"},
    "prep/record/unit/limits.py": {"needs-model", "needs-tractor"},
}


def raised_codes(source: str) -> Iterator[str]:
    """First arguments of every Refusal made in a module, where they are plain text."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id="Refusal"), args=[ast.Constant(value=code), *_]):
                yield str(code)


def codes_in_use() -> set[str]:
    """Every code the code can raise."""
    codes: set[str] = set()
    for package in ("prep", "api", "reports"):
        for path in (ROOT / package).rglob("*.py"):
            codes |= set(raised_codes(path.read_text()))
            codes |= COMPOSED.get(path.relative_to(ROOT).as_posix(), set())
    return codes


def test_every_refusal_that_is_raised_is_declared_and_every_declared_one_is_raised() -> None:
    """An undeclared code would answer as an error of ours; an unused one is dead."""
    assert codes_in_use() == set(CODES)


def test_an_undeclared_refusal_cannot_be_raised() -> None:
    """Neither a code nobody declared, nor a detail its code does not have."""
    with pytest.raises(UndeclaredRefusalError, match="out-of-coffee is declared nowhere"):
        Refusal("out-of-coffee", "There is none.")
    with pytest.raises(UndeclaredRefusalError, match="on-hold declares no reasons"):
        Refusal("on-hold", "On hold.", reasons=[])


def test_each_class_of_refusal_has_one_status_of_its_own() -> None:
    """A program can tell the classes apart by the status alone."""
    assert set(STATUS) == set(RefusalClass)
    assert len(set(STATUS.values())) == len(STATUS)


def test_a_planted_code_is_seen() -> None:
    """Negative control of the syntax-tree check."""
    assert list(raised_codes("raise Refusal('planted', 'x', field='y')")) == ["planted"]
