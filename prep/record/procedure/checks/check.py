"""Checks of a procedure before it is published: everything that is wrong with it, at once.

They refuse what the schema cannot see and what would fail in the yard: a value in a unit of another
quantity, a step that can never be reached, a limit that cannot be computed for a model, dangerous
work before its safe state is made.
"""

from collections.abc import Iterator, Set

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, apart, located
from prep.record.documents.typed import Document
from prep.record.facts import ModelFacts
from prep.record.procedure.checks import limits, safety, serials, structure
from prep.record.procedure.checks.known import Known, PublishedModels, not_newer
from prep.record.procedure.checks.places import lines_of, steps_of
from prep.record.procedure.checks.references import Computations
from prep.record.procedure.document import Procedure

# Fields of a step by which later steps are safe.
_COUNT: Set[str] = frozenset({"step", "after", "makes", "skip", "when"})


def check(document: Document[Procedure], known: Known) -> list[Problem]:
    """Every problem of a document, located; none where the procedure may come into force.

    What only follows from a part that could not be read is left out.
    """
    found = list(document.problems)
    if document.struct is not None:
        broken = document.broken
        new = [one for one in problems_of(document.struct, known, broken) if apart(one, broken)]
        found += [located(one, document.root) for one in new]
    return found


def problems_of(
    procedure: Procedure, known: Known, broken: Set[Path] = frozenset()
) -> Iterator[Problem]:
    """Problems of a procedure's content, whoever reads it."""
    large = structure.too_large(procedure)
    if large:
        yield large
        return
    yield from not_newer(procedure.revision, known)
    yield from structure.document(procedure, known)
    yield from serials.held(procedure, known)
    yield from against_models(procedure, known)
    unsure = _unsure(procedure, broken)
    for at in steps_of(procedure):
        wrong = list(structure.step(at, known))
        if any(one.path[len(at.path)] in _COUNT for one in wrong):
            unsure.add(at.step.step)
        yield from wrong
        yield from safety.danger(at, unsure)
        for line in lines_of(at):
            yield from structure.line(line, known)


def against_models(procedure: Procedure, known: Known) -> Iterator[Problem]:
    """Problems of every limit and advice with the data of the models it is for."""
    machines = known.models.machines
    models = {code: machines[code] for code in procedure.models if code in machines}
    computations = Computations(known, models)
    for at in steps_of(procedure):
        for line in lines_of(at):
            yield from limits.limit(line, computations)


def against_tractor(procedure: Procedure, tractor: ModelFacts) -> Iterator[Problem]:
    """Problems of the limits and advice that depend on a tractor, with the data it states."""
    known = Known(PublishedModels(tractors={tractor.code: tractor}))
    computations = Computations(known, {})
    using = {id(line) for _, line in procedure.tractor_lines}
    for at in steps_of(procedure):
        for line in lines_of(at):
            if id(line.line) in using:
                found = limits.limit(line, computations)
                yield from (one for one in found if one.code == "tractor-data-unfit")


def _unsure(procedure: Procedure, broken: Set[Path]) -> set[str]:
    """Steps of which a part that counts for later steps could not be read."""
    places = {path[:4]: path[4] for path in broken if len(path) > 4 and path[4] in _COUNT}
    return {at.step.step for at in steps_of(procedure) if at.path in places}
