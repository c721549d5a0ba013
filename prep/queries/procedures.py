"""Procedure revisions in force."""

from collections.abc import Iterable

from prep.models import ProcedureRevision
from prep.queries.listing.declaration import Row
from prep.queries.records import procedure_by_digest
from prep.record.facts import ModelFacts
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.record.unit.state import Record
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.serial_schemes import SchemeError, scheme_from


def procedure_rows(procedure: str = "") -> list[Row]:
    """Rows of the revisions in force, sorted by procedure, newest revision first."""
    revisions = ProcedureRevision.objects.order_by("procedure", "-revision")
    if procedure:
        revisions = revisions.filter(procedure=procedure)
    columns = ("procedure", "revision", "digest", "title", "model_codes", "published")
    return list(revisions.values(*columns))


def procedure_row(procedure: str, revision: int) -> Row:
    """Row of a revision in force, with its document; Refusal where there is none."""
    revisions = ProcedureRevision.objects.filter(procedure=procedure, revision=revision).values()
    row = revisions.first()
    if row is None:
        raise Refusal("no-such-procedure", procedure=procedure, revision=revision)
    return dict(row)


def revision_in_force(procedure: str, revision: int) -> tuple[str, Procedure]:
    """Digest and procedure of a revision in force, by number; Refusal where there is none."""
    revisions = ProcedureRevision.objects.filter(procedure=procedure, revision=revision)
    digest = revisions.values_list("digest", flat=True).first()
    if digest is None:
        raise Refusal("no-such-procedure", field="revision", procedure=procedure, revision=revision)
    return digest, procedure_by_digest(digest)


def newest_revision(procedure: str) -> Procedure | None:
    """The newest revision of a procedure; None where none is published."""
    newest = _newest(procedure)
    return procedure_by_digest(newest[0]) if newest else None


def revision_for(record: Record, procedure: str = "") -> tuple[str, Procedure]:
    """Digest and procedure of the newest revision for a unit's model and serial.

    Raises Refusal for a unit without a model, or one that no revision fits.
    """
    if record.model is None:
        raise Refusal("no-model")
    model = record.model.code
    for digest in _newest(procedure):
        document = procedure_by_digest(digest)
        if model in document.models and covers(document, record.model, record.serial):
            return digest, document
    raise Refusal("no-procedure", field="procedure", model=model, serial=record.serial)


def covers(document: Procedure, model: ModelFacts, serial: str) -> bool:
    """Whether a procedure is for a serial of a model."""
    scheme = scheme_from(model.serial_scheme) if model.serial_scheme else None
    try:
        return document.serials is None or document.serials.covers(serial, scheme)
    except (RuleRefusal, SchemeError):
        return False  # a serial of another pattern than the range: another revision may be for it


def _newest(procedure: str) -> list[str]:
    revisions = ProcedureRevision.objects.order_by("-revision", "procedure")
    if procedure:
        revisions = revisions.filter(procedure=procedure)
    return list(revisions.values_list("digest", flat=True))


def procedures_in_force(models: Iterable[str]) -> list[Procedure]:
    """The revisions that a unit of one of the models may get, newest first.

    An older revision is in force for the serials that no newer one of its procedure covers.
    """
    found: dict[str, Procedure] = {}
    for model in dict.fromkeys(models):
        covered: set[str] = set()
        for digest, name, codes in _revisions():
            if model in codes and name not in covered:
                found[digest] = procedure_by_digest(digest)
                if found[digest].serials is None:
                    covered.add(name)
    return list(found.values())


def procedures_with_tractors() -> list[Procedure]:
    """The newest revision of each procedure of which a line depends on the buyer's tractor."""
    newest = {name: digest for digest, name, _ in reversed(_revisions())}
    procedures = (procedure_by_digest(digest) for digest in newest.values())
    return [one for one in procedures if one.tractor_lines]


def _revisions() -> list[tuple[str, str, list[str]]]:
    """Digest, procedure and models of every revision, newest first."""
    revisions = ProcedureRevision.objects.order_by("-revision", "procedure")
    return list(revisions.values_list("digest", "procedure", "model_codes"))
