"""Wrong models and tractors: refused by themselves, or for the procedure that they would break."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import msgspec
import pytest

from prep.record.documents.problems import Problem
from prep.record.documents.typed import read_document, sound_document
from prep.record.facts import ModelDocument
from prep.record.model.checks import check
from prep.record.refusal import Refusal
from prep.words.publishing.problems import trail_text
from prep.words.reader import ENGLISH
from tests.cast import DOCUMENTS
from tests.record.procedure.shipped import FIXTURES, KNOWN, PROCEDURES

IN_FORCE: Final = replace(KNOWN, in_force=tuple(PROCEDURES.values()))
WRONG: Final = sound_document((DOCUMENTS / "wrong_models.yaml").read_text(), list[dict[str, str]])
SHIPPED: Final = sorted((FIXTURES / "models").rglob("*.yaml"))


def problems_in(text: str) -> list[Problem]:
    """Every problem of a document; a machine of this code is on record."""
    sort = "tractor" if "\nsort: tractor" in text and "LF-" not in text else "machine"
    try:
        return check(read_document(text, ModelDocument), replace(IN_FORCE, sort=sort))
    except Refusal as no:
        return list(no.details["problems"])


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_the_shipped_models_break_no_procedure(path: Path) -> None:
    """Negative control."""
    assert problems_in(path.read_text()) == []


@pytest.mark.parametrize("wrong", WRONG, ids=lambda one: f"{one['document']}-{one['to'].strip()}")
def test_a_wrong_model_is_refused_for_what_is_wrong(wrong: dict[str, str]) -> None:
    """With its place, and the procedure in force that would no longer work."""
    text = (FIXTURES / "models" / f"{wrong['document']}.yaml").read_text()
    assert wrong["edit"] in text
    found = problems_in(text.replace(wrong["edit"], wrong["to"], 1))
    assert {(one.code, str(one.line), trail_text(one, ENGLISH)) for one in found} == {
        (wrong["code"], wrong["line"], wrong["where"])
    }
    named = [one.values for one in found if "broken" in one.values]
    broken = {(values["broken"].code, values["procedure"]) for values in named}
    assert not broken or (wrong["broken"], wrong["procedure"]) in broken
    assert ("broken" in wrong) == bool(broken)
    assert found[0].allowed[:1] == ((wrong["instead"],) if "instead" in wrong else ())


def test_an_option_that_a_procedure_asks_for_cannot_vanish_unnoticed() -> None:
    """Gone from the last model that had it, every step that depends on it is named."""
    other = msgspec.structs.replace(KNOWN.models.machines["HM-C6"], options=("roll tarp",))
    machines = {**KNOWN.models.machines, "HM-C6": other}
    known = replace(IN_FORCE, sort="machine", models=replace(KNOWN.models, machines=machines))
    text = (FIXTURES / "models" / "hm-c10.yaml").read_text()
    document = read_document(text.replace("  - scale\n", ""), ModelDocument)
    found = {(one.values["step"], one.values["broken"].code) for one in check(document, known)}
    assert found == {("scale", "option-unknown")}
