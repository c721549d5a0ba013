"""Checks of a model or a tractor before it is published, against the procedures in force for it.

A revision that would leave a limit of a procedure in force without its value is refused here, not
at the machine.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, apart, located, unfit
from prep.record.documents.typed import Document, read_document
from prep.record.facts import ManufacturerFacts, ModelDocument, ModelFacts
from prep.record.manufacturer.names import manufacturer_named
from prep.record.procedure.checks.check import against_tractor, problems_of
from prep.record.procedure.checks.known import Known, not_newer
from prep.record.procedure.checks.structure import twice
from prep.record.procedure.document import Procedure
from prep.rules.identity.manufacturer_names import closest


def checked_model(text: str, known: Known) -> tuple[ModelDocument, ManufacturerFacts]:
    """A document that may be published, and whom it names; Refusal with all that is wrong."""
    document = read_document(text, ModelDocument)
    if problems := check(document, known):
        raise unfit(problems)
    assert document.struct is not None  # one that cannot be read has a problem
    maker = manufacturer_named(document.struct.maker, known.makers)
    assert maker is not None  # one that is not in the list is a problem
    return document.struct, maker


def check(document: Document[ModelDocument], known: Known) -> list[Problem]:
    """Every problem of a document, located."""
    found = list(document.problems)
    if document.struct is not None:
        new = list(_problems(document.struct, known))
        broken = document.broken
        found += [located(one, document.root) for one in new if apart(one, broken)]
    return found


def _problems(model: ModelDocument, known: Known) -> Iterator[Problem]:
    if known.sort and model.sort != known.sort:
        yield Problem("model-other-sort", ("sort",), {"model": model.model}, (known.sort,))
        return
    yield from not_newer(model.revision, known)
    if manufacturer_named(model.maker, known.makers) is None:
        names = closest(model.maker, [name for one in known.makers for name in one.spellings])
        yield Problem("manufacturer-unknown", ("maker",), {"wanted": model.maker}, names)
    if not model.data:
        yield Problem("data-missing", ("data",))
    yield from twice(model.options, ("options",))
    for procedure in known.in_force:
        yield from _broken(procedure, known, model)


def _broken(procedure: Procedure, known: Known, model: ModelDocument) -> Iterator[Problem]:
    """What would be wrong with a procedure in force, and is not now."""
    facts = model.facts(ManufacturerFacts("", model.maker))  # no limit asks who made it
    for one in _newly_wrong(procedure, known, model.sort, facts):
        values = {
            "procedure": procedure.procedure,
            "revision": procedure.revision,
            "step": _step(procedure, one.path),
            "broken": one,
        }
        yield Problem("procedure-broken", _place(one, model), values, one.allowed)


def _newly_wrong(
    procedure: Procedure, known: Known, sort: str, facts: ModelFacts
) -> Iterator[Problem]:
    if sort == "tractor":
        yield from against_tractor(procedure, facts)
        return
    now = {_same(one) for one in problems_of(procedure, _only(known, procedure))}
    machines = {**known.models.machines, facts.code: facts}
    after = replace(known, models=replace(known.models, machines=machines))
    found = problems_of(procedure, _only(after, procedure))
    yield from (one for one in found if _same(one) not in now)


def _only(known: Known, procedure: Procedure) -> Known:
    """What there is, without other procedures: whose serials are whose was settled before."""
    return replace(known, in_force=(procedure,))


def _same(problem: Problem) -> tuple[str, Path, Any]:
    return problem.code, problem.path, problem.values.get("model")


def _place(problem: Problem, model: ModelDocument) -> Path:
    """The part of the model's document that a problem of a procedure comes from."""
    name = problem.values.get("name")
    if isinstance(name, str) and name in model.data:
        return ("data", name)
    if problem.code.startswith("option"):
        return ("options",)
    return ("serial_scheme",) if problem.code.startswith("serials") else ("data",)


def _step(procedure: Procedure, path: Path) -> str:
    """The code of the step a problem stands in; empty for none."""
    if len(path) < 4 or path[0] != "sections":
        return ""
    section, step = path[1], path[3]
    assert isinstance(section, int)
    assert isinstance(step, int)
    return procedure.sections[section].steps[step].step
