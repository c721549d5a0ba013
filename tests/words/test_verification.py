"""Findings of a verification in words: every code, every sort, every part."""

import ast
from pathlib import Path
from typing import Final, get_args

import pytest

from prep import verify
from prep.verify.findings import Code, Proved, Unproven
from prep.verify.run import CHECKS
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import SENTENCES, finding_text
from prep.words.verification.sorts import PARTS, SORTS, part_text
from prep.words.verification.statements import STATEMENTS
from reports import issued_checkpoints
from reports.queue import checks

MODULES: Final = [
    *Path(verify.__file__).parent.glob("*.py"),
    Path(checks.__file__),
    Path(issued_checkpoints.__file__),
]


def calls(name: str) -> list[ast.Call]:
    """All calls of a function in the code of the checks."""
    trees = [ast.parse(module.read_text(encoding="utf-8")) for module in MODULES]
    return [
        node
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name
    ]


def literals(found: list[ast.Call], place: int) -> set[str]:
    """The literal texts at one place of some calls."""
    arguments = (call.args[place] for call in found)
    return {str(one.value) for one in arguments if isinstance(one, ast.Constant)}


def test_every_code_has_its_sentence() -> None:
    """And no sentence is left over."""
    assert set(SENTENCES) == set(get_args(Code))


def test_every_sort_has_its_heading_and_every_part_its_count() -> None:
    """Of all that the checks name in their own words."""
    sorts = literals(calls("Finding"), 0)
    assert len(sorts) > 8
    assert sorts <= set(SORTS)
    assert literals(calls("tell"), 0) == PARTS


@pytest.mark.parametrize(
    ("owner", "text"),
    [
        (("unit", "U1"), "Altered: step block of unit U1; columns: title, status."),
        (["unit", "U1"], "Altered: step block of unit U1; columns: title, status."),
        (None, "Altered: step block; columns: title, status."),
        (("step", "block"), "Altered: step block; columns: title, status."),
    ],
)
def test_a_row_is_called_by_what_it_belongs_to(owner: object, text: str) -> None:
    """As the check gives it, as a report's file gives it back, and where it belongs to nothing."""
    values = {"sort": "step", "key": "block", "owner": owner, "columns": ["title", "status"]}
    assert finding_text("row-altered", values, ENGLISH) == text


def test_parts_are_counted() -> None:
    """One and many."""
    assert part_text("waiting-events", 1, ENGLISH) == "1 event not sealed yet"
    assert part_text("waiting-events", 0, ENGLISH) == "0 events not sealed yet"


def test_every_statement_has_its_sentence() -> None:
    """What each check proves, what it states itself, and what stays unproven; none is left over."""
    own = {check.__name__ for check in CHECKS}
    assert own | set(get_args(Proved)) | set(get_args(Unproven)) == STATEMENTS
    assert literals(calls("Statement"), 0) == set(get_args(Proved)) | set(get_args(Unproven))
