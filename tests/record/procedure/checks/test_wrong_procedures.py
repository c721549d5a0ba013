"""Wrong procedures, each a small edit of the shipped one, refused for what is wrong alone."""

from pathlib import Path
from typing import Final

import pytest

from prep.record.documents.problems import Problem
from prep.record.documents.typed import read_document, sound_document
from prep.record.procedure.checks.check import check
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.words.publishing.problems import problem_with_place, trail_text
from prep.words.publishing.sentences import PROCEDURE, SENTENCES
from prep.words.reader import ENGLISH
from tests.cast import DOCUMENTS
from tests.record.procedure.shipped import FIXTURES, KNOWN, PROCEDURE_FILES

CUTTER: Final = (FIXTURES / "procedures" / "rotary-cutter-r1.yaml").read_text()
WRONG: Final = sound_document(
    (DOCUMENTS / "wrong_procedures.yaml").read_text(), list[dict[str, str]]
)


def problems_in(text: str) -> list[Problem]:
    """Every problem of a document."""
    try:
        return check(read_document(text, Procedure), KNOWN)
    except Refusal as no:
        return list(no.details["problems"])


@pytest.mark.parametrize("path", PROCEDURE_FILES, ids=lambda path: path.stem)
def test_the_shipped_procedures_have_no_problem(path: Path) -> None:
    """Negative control of the corpus."""
    assert problems_in(path.read_text()) == []


def test_the_corpus_is_wide() -> None:
    """Many edits, and most of the codes a procedure may be refused with."""
    assert len(WRONG) >= 60
    codes = {one["code"] for one in WRONG}
    assert len(codes & set(PROCEDURE)) > 40
    assert codes <= set(SENTENCES)


@pytest.mark.parametrize("wrong", WRONG, ids=lambda one: f"{one['code']}-{one['line']}")
def test_a_wrong_procedure_is_refused_for_what_is_wrong(wrong: dict[str, str]) -> None:
    """Its own code, its place, its line, and the word that was meant first among those offered."""
    assert wrong["edit"] in CUTTER
    found = problems_in(CUTTER.replace(wrong["edit"], wrong["to"], 1))
    said = {(one.code, str(one.line), trail_text(one, ENGLISH), *one.allowed[:1]) for one in found}
    instead = [wrong["instead"]] if "instead" in wrong else []
    assert said == {(wrong["code"], wrong["line"], wrong["where"], *instead)}
    for one in found:
        sentence = problem_with_place(one, ENGLISH)
        assert "{" not in sentence.replace(wrong["to"], "")
        assert sentence[-1] in ".)"
