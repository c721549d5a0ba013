"""What is wrong with a document in words: every code that the checks name has its sentence."""

import ast
import re
import string
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from prep import record, rules
from prep.words.publishing.problems import KINDS
from prep.words.publishing.sentences import FIELDS, MODEL, PROCEDURE, SENTENCES, VALUES, YAML
from tests.words.test_completeness import BRITISH, UNNATURAL

RECORD: Final = Path(record.__file__).parent
SOURCES: Final = (
    *sorted((RECORD / "documents").glob("*.py")),
    *sorted((RECORD / "procedure").rglob("*.py")),
    RECORD / "model" / "checks.py",
    RECORD / "facts.py",
    Path(rules.__file__).parent / "identity" / "serial_schemes.py",
)
MAKERS: Final = {"Problem", "fault", "Misfit", "_note", "_stop"}
# Codes that are put together, or stand in the limits of a field.
COMPOSED: Final = {
    "model-data-unfit",
    "tractor-data-unfit",
    "kind-wrong-word",
    "kind-wrong",
    "value-empty",
    "yaml-alias",
}


def codes_in(source: str) -> Iterator[str]:
    """Codes of the problems a module makes."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(args=[ast.Constant(value=str(code)), *_], func=func):
                name = func.attr if isinstance(func, ast.Attribute) else getattr(func, "id", "")
                if name in MAKERS:
                    yield code
            case ast.Dict(
                keys=[ast.Constant(value="malformed")], values=[ast.Constant(value=code)]
            ):
                yield str(code)
    yield from re.findall(r'"malformed", "([a-z-]+)"', source)


def test_every_code_has_a_sentence_and_no_sentence_stands_for_nothing() -> None:
    """A problem without words would fail in front of whoever wrote the document."""
    made = {code for path in SOURCES for code in codes_in(path.read_text())}
    assert len(made) > 90
    assert made | COMPOSED == set(SENTENCES)
    tables = (YAML, FIELDS, VALUES, PROCEDURE, MODEL)
    assert sum(len(table) for table in tables) == len(SENTENCES)


def test_a_sentence_is_whole_and_in_the_words_of_the_shop() -> None:
    """And names its values plainly."""
    for code, sentence in SENTENCES.items():
        assert sentence[-1] in ".}", code
        assert not BRITISH.search(sentence), code
        assert not UNNATURAL.search(sentence), code
        assert all(name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None)


def test_the_members_of_lists_are_called_something() -> None:
    """Each with its code."""
    assert all("{code}" in text for text in KINDS.values())


def test_a_planted_code_is_seen() -> None:
    """Negative control of the syntax-tree check."""
    assert list(codes_in("yield Problem('planted', ('a',))")) == ["planted"]
