"""The serials a procedure is for: some there must be, and no other procedure may claim them."""

from collections.abc import Iterator

from prep.record.documents.problems import Problem, nearest
from prep.record.procedure.checks.known import Known
from prep.record.procedure.document import Procedure
from prep.rules.identity.serial_ranges import can_cover, may_share
from prep.rules.identity.serial_schemes import SerialRange, scheme_from


def held(procedure: Procedure, known: Known) -> Iterator[Problem]:
    """What is wrong with a procedure's range of serials, for each of its models."""
    wanted = procedure.serials
    if wanted is not None:
        for model in procedure.models:
            yield from _of_model(model, wanted, known)
    yield from _claimed(procedure, known)


def _of_model(model: str, wanted: SerialRange, known: Known) -> Iterator[Problem]:
    facts = known.models.machines.get(model)
    if facts is None:
        return
    if not facts.serial_scheme:
        if wanted.part:
            yield Problem("serials-part", ("serials", "part"), {"model": model})
        return
    scheme = scheme_from(facts.serial_scheme)
    names = tuple(part.name for part in scheme.parts)
    if wanted.part and wanted.part not in names:
        allowed = nearest(wanted.part, names)
        yield Problem("serials-part", ("serials", "part"), {"model": model}, allowed)
    elif not can_cover(wanted, scheme):
        yield Problem("serials-none", ("serials",), {"model": model})


def _claimed(procedure: Procedure, known: Known) -> Iterator[Problem]:
    """Another procedure in force that is for the same model and serials."""
    for other in known.in_force:
        if other.procedure == procedure.procedure:
            continue
        for place, model in enumerate(procedure.models):
            if model in other.models and may_share(procedure.serials, other.serials):
                path = ("serials",) if procedure.serials else ("models", place)
                values = {"model": model, "other": other.procedure, "revision": other.revision}
                yield Problem("serials-claimed", path, values)
