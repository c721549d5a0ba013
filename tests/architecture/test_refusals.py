"""Each refusal is declared once, with its class and details; none is declared for nothing."""

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.errors import STATUS
from prep.record.refusal import Refusal, UndeclaredRefusalError
from prep.record.refusal_codes import CODES, RefusalClass
from prep.words.refusal_sentences import away, imports, inputs, missing, people, requests, state
from prep.words.refusals import SAID_ELSEWHERE, SENTENCES, TITLES
from tests.words.test_completeness import BRITISH, UNNATURAL

ROOT = Path(__file__).parents[2]

# Codes put together from a noun where they are raised: `no-such-model`, `needs-tractor`.
COMPOSED = {
    "prep/actions/facts/loaders.py": {
        f"happened-before-{stream}" for stream in ("buyer", "instrument", "model", "procedure")
    },
    "prep/queries/models.py": {"no-such-model", "no-such-tractor"},
    "prep/record/unit/limits.py": {"needs-model", "needs-tractor"},
}


def raised(source: str) -> Iterator[tuple[str, frozenset[str]]]:
    """Codes and details of every Refusal made in a module, where the code is plain text."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id="Refusal"), args=[ast.Constant(value=code), *_]):
                yield str(code), frozenset(str(keyword.arg) for keyword in node.keywords)


def placeholders(text: str) -> set[str]:
    """What a sentence names."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def sources() -> Iterator[tuple[str, str]]:
    """Every module that may refuse, with its source."""
    for package in ("prep", "api", "reports"):
        for path in (ROOT / package).rglob("*.py"):
            yield path.relative_to(ROOT).as_posix(), path.read_text()


def codes_in_use() -> set[str]:
    """Every code the code can raise."""
    codes: set[str] = set()
    for module, source in sources():
        codes |= {code for code, _ in raised(source)}
        codes |= COMPOSED.get(module, set())
    return codes


def test_every_refusal_that_is_raised_is_declared_and_every_declared_one_is_raised() -> None:
    """An undeclared code would answer as an error of ours; an unused one is dead."""
    assert codes_in_use() == set(CODES)


def test_every_code_has_one_sentence_and_no_sentence_stands_for_nothing() -> None:
    """The sentences of a few are made of what was found: faults, a typed entry, a rule's inputs."""
    assert set(SENTENCES) == set(CODES) - SAID_ELSEWHERE
    tables = (away, imports, inputs, missing, people, requests, state)
    assert sum(len(table.SENTENCES) for table in tables) == len(SENTENCES)
    assert len(set(SENTENCES.values())) == len(SENTENCES)
    assert set(CODES) >= SAID_ELSEWHERE | set(TITLES)


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_a_sentence_names_details_that_its_code_declares(code: str) -> None:
    """Nothing else could be filled in."""
    assert placeholders(SENTENCES[code]) <= set(CODES[code].details)


def test_every_refusal_brings_what_its_sentence_names() -> None:
    """Where it is raised; a sentence with a gap would fail in front of a person."""
    lacking = [
        (module, code, sorted(wanted))
        for module, source in sources()
        for code, given in raised(source)
        if (wanted := placeholders(SENTENCES.get(code, "")) - given)
    ]
    assert lacking == []


@pytest.mark.parametrize("code", sorted(CODES))
def test_a_refusal_says_what_is_wrong_and_what_to_do(code: str) -> None:
    """In whole sentences, in the words of the shop."""
    if code in SAID_ELSEWHERE:
        return
    sentence = SENTENCES[code]
    assert sentence[-1] in ".}"
    assert not BRITISH.search(sentence)
    assert not UNNATURAL.search(sentence)


def test_an_undeclared_refusal_cannot_be_raised() -> None:
    """Neither a code nobody declared, nor a detail its code does not have."""
    with pytest.raises(UndeclaredRefusalError, match="out-of-coffee is declared nowhere"):
        Refusal("out-of-coffee")
    with pytest.raises(UndeclaredRefusalError, match="on-hold declares no reasons"):
        Refusal("on-hold", reasons=[])


def test_each_class_of_refusal_has_one_status_of_its_own() -> None:
    """A program can tell the classes apart by the status alone."""
    assert set(STATUS) == set(RefusalClass)
    assert len(set(STATUS.values())) == len(STATUS)


def test_a_planted_code_is_seen() -> None:
    """Negative control of the syntax-tree check."""
    assert list(raised("raise Refusal('planted', field='y', who=z)")) == [
        ("planted", frozenset({"field", "who"}))
    ]
