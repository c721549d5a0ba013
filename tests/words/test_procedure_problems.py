"""What is wrong with a document in words: every code that the checks name has its sentence."""

import ast
import string
from pathlib import Path
from typing import Final

import pytest

from prep.record import procedure
from prep.record.procedure.problems import DocumentError
from prep.record.procedure.yaml_documents import load_procedure
from prep.words.procedure_problems import SENTENCES, problem_with_path
from prep.words.reader import ENGLISH

FOLDER: Final = Path(procedure.__file__).parent


def named_values() -> dict[str, set[str]]:
    """The values given with each code, by the calls of `fault` in the checks."""
    tree = ast.parse((FOLDER / "checks.py").read_text(encoding="utf-8"))
    return {
        str(node.args[0].value): {str(one.arg) for one in node.keywords}
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", "") == "fault"
        and isinstance(node.args[0], ast.Constant)
    }


def test_every_fault_has_a_sentence_of_its_values() -> None:
    """What a sentence names is given, and nothing is given in vain."""
    given = named_values()
    assert len(given) > 25
    wanted = {
        code: {name for _, name, _, _ in string.Formatter().parse(text) if name}
        for code, text in SENTENCES.items()
    }
    assert {code: wanted.get(code) for code in given} == given


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("title: [", "document: Line 1, column 9 is not valid YAML. ("),
        ("procedure: 7", "procedure: A field does not fit. (Expected `str`, got `int`)"),
        ("[]", "document: A field does not fit. (Expected `object`, got `array`)"),
    ],
)
def test_what_is_no_procedure_names_the_place(text: str, sentence: str) -> None:
    """A slip in the YAML, a field of the wrong type, something else altogether."""
    with pytest.raises(DocumentError) as refused:
        load_procedure(text)
    [problem] = refused.value.problems
    assert problem_with_path(problem, ENGLISH).startswith(sentence)
